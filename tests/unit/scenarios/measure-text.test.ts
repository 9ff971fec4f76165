import fc from 'fast-check';
import { expect, test } from 'vitest';
import { measureText } from '../../../scenarios/faults/measure-text.js';
import { membersInDocument } from '../../../scenarios/faults/members-in-document.js';

const measure = (text: string, depthLimit = 1000) => measureText(Buffer.from(text), depthLimit);
const membersInText = (text: string) => measure(text).members;

test('text and document have the same number of members where no key stands twice', () => {
  fc.assert(
    fc.property(fc.jsonValue(), fc.nat(3), (value, indent) => {
      expect(membersInText(JSON.stringify(value, null, indent))).toBe(membersInDocument(value));
    }),
  );
});

test('quotes, backslashes and colons inside strings do not count', () => {
  const value = { 'a:"b\\': 'c:\\"', '\\': ':', d: ['\\\\', { ':': null }] };
  expect(membersInText(JSON.stringify(value))).toBe(4);
});

test('a key that stands twice shows', () => {
  const text = '{"a":1,"b":{"c":1,"c":2}}';
  expect(membersInText(text)).toBe(4);
  expect(membersInDocument(JSON.parse(text))).toBe(3);
});

test('depth is that of the deepest list or object, brackets in strings apart', () => {
  expect(measure('[1, {"a]]": [2]}, "[[[["]', 32).depth).toBe(3);
  expect(measure('7', 32).depth).toBe(0);
});

test('the walk ends soon beyond the limit, and at a string that never ends', () => {
  expect(measure('['.repeat(1e6), 32).depth).toBe(33);
  expect(measure('{"a": "b', 32)).toEqual({ depth: 1, members: 1 });
});
