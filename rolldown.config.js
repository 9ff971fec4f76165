import { defineConfig } from 'rolldown';

const shared = {
  platform: 'node',
  // Packages that start threads or look for files beside their own stay where they are.
  external: ['bullmq', 'ioredis', 'pino'],
  resolve: { extensionAlias: { '.js': ['.ts', '.js'] }, mainFields: ['module', 'main'] },
};

export default defineConfig([
  // The command line as a few files instead of hundreds: looking them up is most of what a short run takes.
  {
    ...shared,
    input: { main: 'worker/cli/main.ts' },
    output: {
      dir: 'dist/worker/cli',
      format: 'esm',
      entryFileNames: '[name].js',
      chunkFileNames: 'chunks/[name].js',
      sourcemap: true,
    },
  },
  // What computes in threads as one module: calls within a module are quicker than from one to another, and threads start sooner.
  {
    ...shared,
    input: 'worker/engine.ts',
    output: { file: 'dist/worker/engine.js', format: 'esm', sourcemap: true },
  },
]);
