import { spawnSync } from 'node:child_process';
import { type Browser, chromium } from 'playwright-core';

const programs = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

/** The Chromium or Chrome of this machine; null where there is none on PATH. */
export const chromiumProgram: string | null =
  programs.find((program) => spawnSync(program, ['--version'], { stdio: 'ignore' }).status === 0) ?? null;

/** @throws Error that says how to get one */
export async function startChromium(): Promise<Browser> {
  if (chromiumProgram === null) {
    throw new Error(
      'The tests of pages need Chromium or Chrome on PATH. On Debian: "sudo apt-get install chromium".',
    );
  }
  const { stdout } = spawnSync('which', [chromiumProgram], { encoding: 'utf8' });
  // The pages are this project's own, and the sandbox does not start as root or in a container.
  return chromium.launch({ executablePath: stdout.trim(), args: ['--no-sandbox', '--disable-gpu'] });
}
