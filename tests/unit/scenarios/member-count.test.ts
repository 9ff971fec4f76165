import fc from 'fast-check';
import { expect, test } from 'vitest';
import { membersInDocument, membersInText } from '../../../scenarios/faults/member-count.js';

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
