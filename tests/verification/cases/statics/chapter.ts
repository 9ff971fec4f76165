import type { Chapter } from '../../book/verification-case.js';
import { continuousDeadLoad } from './continuous-dead-load.js';
import { damagedDeck } from './damaged-deck.js';
import { influenceLinesCase } from './influence-lines.js';
import { lostColumn } from './lost-column.js';
import { portalFlexibility } from './portal-flexibility.js';
import { reactionsCarryTheTrain } from './reactions-carry-the-train.js';
import { slowPassage } from './slow-passage.js';

/** Dead load, damage, influence lines and the limit of slow trains. */
export const staticsChapter: Chapter = {
  id: 'statics',
  title: 'Statics',
  cases: [
    continuousDeadLoad,
    damagedDeck,
    portalFlexibility,
    lostColumn,
    influenceLinesCase,
    slowPassage,
    reactionsCarryTheTrain,
  ],
};
