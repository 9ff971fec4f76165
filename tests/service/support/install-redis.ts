import { execFileSync, spawnSync } from 'node:child_process';

/**
 * Before any test, once for all of them: a machine without redis-server gets Debian's, where this process may install it. Where
 * it may not, the tests that need one say what to do; all others need none.
 */
export default function installRedis(): void {
  if (isThere('redis-server') || process.getuid?.() !== 0 || !isThere('apt-get')) return;
  const options = { stdio: 'ignore', env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' } } as const;
  try {
    // A fresh machine has no lists of packages yet.
    execFileSync('apt-get', ['update', '-qq'], options);
    execFileSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'redis-server'], options);
  } catch (error) {
    process.stderr.write(`redis-server could not be installed: ${String(error)}\n`);
  }
}

export function isThere(program: string): boolean {
  return spawnSync(program, ['--version'], { stdio: 'ignore' }).status === 0;
}
