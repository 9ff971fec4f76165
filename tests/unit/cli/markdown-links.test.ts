import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { projectRoot } from './project-root.js';

const notOurs = new Set(['node_modules', 'dist', 'out', 'coverage', '.git']);

/** Markdown files of the project, by path from its root. */
function markdownFiles(folder = ''): readonly string[] {
  return readdirSync(join(projectRoot, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return notOurs.has(entry.name) ? [] : markdownFiles(path);
    return entry.name.endsWith('.md') ? [path] : [];
  });
}

/** Anchor that a heading gets: lower case, punctuation dropped, spaces to hyphens. */
function anchorsOf(text: string): ReadonlySet<string> {
  const headings = [...text.matchAll(/^#{1,6} (.+)$/gm)].map(([, heading]) => heading!);
  return new Set(
    headings.map((heading) =>
      heading
        .toLowerCase()
        .replaceAll(/[^\p{L}\p{N} _-]/gu, '')
        .trim()
        .replaceAll(' ', '-'),
    ),
  );
}

/** Links and pictures of a file that point into the project. Code is left out: it may look like a link. */
function relativeLinks(text: string): readonly string[] {
  const prose = text.replaceAll(/```.*?```/gs, '').replaceAll(/`[^`\n]*`/g, '');
  return [...prose.matchAll(/\]\(([^)\s]+)\)/g)]
    .map(([, target]) => target!)
    .filter((target) => !/^[a-z]+:/.test(target));
}

const files = markdownFiles();
const links = files.flatMap((file) =>
  relativeLinks(readFileSync(join(projectRoot, file), 'utf8')).map((target) => [file, target] as const),
);

describe('links between the documents', () => {
  it('are found in the files that have them', () => {
    expect(files).toContain('README.md');
    expect(links.length).toBeGreaterThan(5);
  });

  it.each(links)('%s links to %s, which is there', (file, link) => {
    const [target, anchor] = link.split('#');
    const path = target ? join(projectRoot, dirname(file), target) : join(projectRoot, file);
    expect(existsSync(path), `${file} -> ${link}`).toBe(true);
    if (anchor && statSync(path).isFile()) expect(anchorsOf(readFileSync(path, 'utf8'))).toContain(anchor);
  });
});

describe('paths named in DEVELOPERS.md', () => {
  const text = readFileSync(join(projectRoot, 'DEVELOPERS.md'), 'utf8');
  const paths = [...text.matchAll(/`((?:solver|scenarios|worker|api|tests|\.ci)\/[\w./-]*)`/g)].map(
    ([, path]) => path!,
  );

  it('are named at all', () => expect(paths.length).toBeGreaterThan(10));
  it.each([...new Set(paths)])('%s exists', (path) => {
    expect(existsSync(join(projectRoot, path))).toBe(true);
  });
});

describe('npm scripts named in the documents', () => {
  const { scripts } = JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8'));
  const named = files.flatMap((file) =>
    [...readFileSync(join(projectRoot, file), 'utf8').matchAll(/npm run (?:--silent )?([\w:-]+)/g)].map(
      ([, script]) => [file, script!] as const,
    ),
  );

  it.each(named)('%s names npm run %s, which is there', (_, script) => {
    expect(Object.keys(scripts)).toContain(script);
  });
});
