// The command line as a few files instead of hundreds: looking them up is most of what a short run takes.
import { defineConfig } from 'rolldown';

export default defineConfig({
  input: { main: 'worker/cli/main.ts' },
  platform: 'node',
  // Packages that start threads or look for files beside their own stay where they are.
  external: ['piscina', 'bullmq', 'ioredis', 'pino'],
  resolve: { extensionAlias: { '.js': ['.ts', '.js'] }, mainFields: ['module', 'main'] },
  output: {
    dir: 'dist/worker/cli',
    format: 'esm',
    entryFileNames: '[name].js',
    chunkFileNames: 'chunks/[name].js',
    sourcemap: true,
  },
});
