/**
 * Every fault a scenario can have, one table for the command line and the HTTP interface. The key is stable: programs may
 * rely on it; the title is what a person reads.
 */
export const faultCodes = {
  'file-too-large': 'The file is larger than a scenario may be',
  'not-utf8': 'The file is not UTF-8 text',
  'not-json': 'The file is not JSON',
  'nested-too-deep': 'The file is nested deeper than any scenario',
  'duplicate-key': 'A key appears twice in one object',
  'format-missing': 'The format tag is missing',
  'format-unknown': 'The format tag names something else',
  'format-newer': 'The file was written for a newer deckpace',
  'unknown-key': 'A key that no scenario has',
  'missing-key': 'A key that must be there is missing',
  'wrong-type': 'A value of the wrong type',
  'out-of-range': 'A number outside its range',
  'not-accepted': 'A word that is not among the accepted ones',
  'bad-name': 'A name with characters that are not allowed',
  'text-too-long': 'A text longer than is allowed',
  'text-empty': 'A text that must not be empty',
  'too-many': 'More entries than are allowed',
  'too-few': 'Fewer entries than are needed',
  'exactly-one': 'Of several alternatives, one and only one must be given',
  'belong-together': 'Keys that only make sense together',
  'not-applicable': 'A key that has no meaning here',
  'count-mismatch': 'Two lists whose lengths do not fit each other',
  'length-mismatch': 'Lengths that do not add up',
  'duplicate-name': 'A name used twice',
  'reserved-name': 'A name that is kept for a fixed meaning',
  'unknown-support': 'A support that does not exist',
  'unknown-span': 'A span that does not exist',
  'unknown-node': 'A node of a frame that does not exist',
  'not-ascending': 'Numbers that must ascend but do not',
  'outside-structure': 'A position outside the structure',
  'no-rail-seat': 'A loss of fastenings between two rail seats',
  'rigid-support': 'Part of the stiffness of a rigid support cannot be lost',
  'repeated-effect': 'One kind of damage twice on one support in one case',
  'load-model-span': 'A load model that is not meant for these spans',
  implausible: 'Values that contradict each other',
  'more-faults': 'Further faults that are not listed',
} as const;

export type FaultCode = keyof typeof faultCodes;
