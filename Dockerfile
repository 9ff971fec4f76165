# One image for API and worker; docker-compose.yml says which of them a container is.
FROM node:22-bookworm-slim AS build
WORKDIR /app
COPY package.json package-lock.json ./
RUN npm ci
COPY tsconfig.json tsconfig.build.json rolldown.config.js ./
COPY solver solver
COPY scenarios scenarios
COPY worker worker
COPY api api
COPY tests tests
COPY .ci .ci
# The repository stays outside: results name the commit given here.
ARG DECKPACE_COMMIT=
RUN npm run build && npm prune --omit=dev

FROM node:22-bookworm-slim
ENV NODE_ENV=production HOST=0.0.0.0
WORKDIR /app
COPY --from=build /app/package.json ./
COPY --from=build /app/node_modules node_modules
COPY --from=build /app/dist dist
COPY scenarios scenarios
USER node
EXPOSE 8080
CMD ["node", "dist/api/main.js"]
