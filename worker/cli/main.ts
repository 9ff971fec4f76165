#!/usr/bin/env node
import { hasCode } from '../has-code.js';
import { runCommandLine } from './program.js';

// A reader that goes away early (`| head`) is no failure; writeOut reports whatever else happens to the stream.
process.stdout.on('error', () => {});
process.stderr.on('error', (error) => {
  if (!hasCode(error, 'EPIPE')) process.exitCode = 3;
});

process.exitCode = await runCommandLine(process.argv.slice(2), {
  stdout: process.stdout,
  stderr: process.stderr,
  environment: process.env,
});
