import { Buffer, isUtf8 } from 'node:buffer';
import { type ParseError, printParseErrorCode, visit } from 'jsonc-parser';
import { type Fault, fault, type Path } from '../fault.js';
import { scenarioBounds } from '../schema/bounds.js';
import { guessSyntax } from './guess-syntax.js';
import { measureText } from './measure-text.js';
import { membersInDocument } from './members-in-document.js';

type Parsed =
  | { readonly ok: true; readonly document: unknown }
  | { readonly ok: false; readonly faults: readonly Fault[] };

const strictJson = { disallowComments: true, allowTrailingComma: false, allowEmptyContent: false };

/**
 * Reads strict JSON within the bounds on size and depth. A syntax fault is reported with line and column; a key that appears
 * twice in one object is a fault, because JSON would silently keep only the last.
 */
export function parseJson(input: string | Uint8Array): Parsed {
  const size = typeof input === 'string' ? Buffer.byteLength(input) : input.byteLength;
  if (size > scenarioBounds.fileBytes) return failed([fileTooLarge(size)]);
  const bytes = typeof input === 'string' ? Buffer.from(input) : bytesOf(input);
  if (!isUtf8(bytes)) {
    return failed([
      fault([], 'not-utf8', {
        found: 'bytes that are not UTF-8',
        accepted: 'JSON text in UTF-8',
        guess: isWide(bytes) ? savedAsUtf16 : null,
      }),
    ]);
  }
  // The parsers that follow recurse.
  const { depth, members } = measureText(bytes, scenarioBounds.nestingDepth);
  if (depth > scenarioBounds.nestingDepth) {
    return failed([
      fault([], 'nested-too-deep', {
        found: 'brackets within brackets',
        accepted: `at most ${scenarioBounds.nestingDepth} levels`,
      }),
    ]);
  }
  const text = withoutMark(typeof input === 'string' ? input : bytes.toString('utf8'));
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch {
    return failed([syntaxFault(text)]);
  }
  // The parser that finds where a key is repeated is slow, so it runs only where one is.
  if (members === membersInDocument(document)) return { ok: true, document };
  const duplicates = duplicateKeyFaults(text);
  return duplicates.length > 0 ? failed(duplicates) : { ok: true, document };
}

/** The fault of a file that is too large; also for callers that know the size before they read. */
export function fileTooLarge(bytes: number): Fault {
  return fault([], 'file-too-large', {
    found: `${bytes} bytes`,
    accepted: `at most ${scenarioBounds.fileBytes / 1e6} MB`,
  });
}

function failed(faults: readonly Fault[]): Parsed {
  return { ok: false, faults };
}

/** Without the byte order mark that some editors write. */
function withoutMark(text: string): string {
  return text.startsWith('\uFEFF') ? text.slice(1) : text;
}

/** The same memory, with a buffer's methods. */
function bytesOf({ buffer, byteOffset, byteLength }: Uint8Array): Buffer {
  return Buffer.from(buffer, byteOffset, byteLength);
}

function syntaxFault(text: string): Fault {
  const first = firstSyntaxError(text);
  const offset = first?.offset ?? text.length;
  const before = text.slice(0, offset);
  const line = before.split('\n').length;
  const column = offset - before.lastIndexOf('\n');
  const what =
    first === null ? 'a character that JSON does not allow' : wordsOf(printParseErrorCode(first.error));
  return fault([], 'not-json', {
    found: `${what} at line ${line}, column ${column}${excerpt(text, offset)}`,
    accepted: 'one JSON object (RFC 8259)',
    guess: guessFile(text) ?? guessSyntax(text, offset),
  });
}

/** What the file as a whole seems to be; null where it may well be JSON. */
function guessFile(text: string): string | null {
  if (text.trim() === '') return 'The file is empty.';
  return text.slice(0, 4).includes('\0') ? savedAsUtf16 : null;
}

const savedAsUtf16 =
  'It looks like UTF-16, as some Windows programs and a ">" in PowerShell write it: save it as UTF-8.';

/** Whether a mark at the beginning says UTF-16. */
function isWide(bytes: Uint8Array): boolean {
  const mark = `${bytes[0]} ${bytes[1]}`;
  return mark === '255 254' || mark === '254 255';
}

/** Reads no further: behind an error the parser may nest deeper than was measured. */
function firstSyntaxError(text: string): ParseError | null {
  const found: ParseError[] = [];
  try {
    visit(
      text,
      {
        onError: (error, offset, length) => {
          found.push({ error, offset, length });
          throw stopReading;
        },
      },
      strictJson,
    );
  } catch (thrown) {
    if (thrown !== stopReading) throw thrown;
  }
  return found[0] ?? null;
}

const stopReading = new Error('the first syntax error is found');

/** "CommaExpected" -> "comma expected". */
function wordsOf(errorCode: string): string {
  return errorCode.replaceAll(/(?<=[a-z])([A-Z])/g, (letter) => ` ${letter.toLowerCase()}`).toLowerCase();
}

function excerpt(text: string, offset: number): string {
  const rest = text.slice(offset, offset + 24).split('\n')[0] ?? '';
  return rest.trim() === '' ? '' : ` (near ${JSON.stringify(rest)})`;
}

function duplicateKeyFaults(text: string): readonly Fault[] {
  const faults: Fault[] = [];
  const open: Set<string>[] = [];
  visit(
    text,
    {
      onObjectBegin: () => {
        open.push(new Set());
      },
      onObjectEnd: () => {
        open.pop();
      },
      onObjectProperty: (key, _offset, _length, line, column, pathOf) => {
        const keys = open.at(-1);
        if (keys?.has(key) && faults.length < scenarioBounds.faultsListed) {
          const path: Path = [...pathOf(), key];
          faults.push(
            fault(path, 'duplicate-key', {
              found: `the key ${JSON.stringify(key)} again at line ${line + 1}, column ${column + 1}`,
              accepted: 'each key once per object',
            }),
          );
        }
        keys?.add(key);
      },
    },
    strictJson,
  );
  return faults;
}
