import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { hasCode } from '../has-code.js';

/**
 * Makes a directory and those above it that are missing, one by one. The recursive mkdir of Node 20 asks for ever, at full
 * load, where a directory that is there takes no new one and calls that ENOENT (/proc, a directory that has been removed).
 *
 * @throws the system's error where one of them cannot be made
 */
export async function makeDirectory(directory: string): Promise<void> {
  const missing: string[] = [];
  for (let at = directory; !(await isThere(at)); at = dirname(at)) {
    missing.unshift(at);
    if (dirname(at) === at) break;
  }
  for (const one of missing) await makeOne(one);
}

async function isThere(path: string): Promise<boolean> {
  try {
    await stat(path);
    return true;
  } catch (error) {
    if (hasCode(error, 'ENOENT')) return false;
    throw error;
  }
}

/** Another run may make the same directory at the same time. */
async function makeOne(directory: string): Promise<void> {
  try {
    await mkdir(directory);
  } catch (error) {
    const about = await stat(directory).catch(() => null);
    if (!about?.isDirectory()) throw error;
  }
}
