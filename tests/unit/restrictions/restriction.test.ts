import { describe, expect, test } from 'vitest';
import type { Recommendation, Result } from '../../../scenarios/result.js';
import { type DraftRequest, draftTerms } from '../../../worker/restrictions/draft-terms.js';
import {
  BrokenHistoryError,
  type Restriction,
  restrictionFrom,
} from '../../../worker/restrictions/restriction.js';
import { assertApprovable, assertWithdrawable } from '../../../worker/restrictions/restriction-decisions.js';
import type { RestrictionEvent, RestrictionTerms } from '../../../worker/restrictions/restriction-event.js';

const recommendation: Recommendation = {
  damage_case: 'P2-settled',
  class: 'passenger',
  status: 'restricted',
  permitted_speed_kmh: 80,
  comfort_speed_kmh: null,
  governing: 'track-geometry',
  governing_train: 'unit',
  from_chainage_km: 12.34,
  to_chainage_km: 12.6,
  from_m: 0,
  to_m: 260,
  reason: 'The sag at P2 is a track defect.',
};
const resultWith = (change: Partial<Recommendation> = {}): Result => ({
  format: 'deckpace/result@1',
  scenario_sha256: 'a'.repeat(64),
  engine: 'deckpace 0.1.0',
  provenance: { git_commit: null, libraries: {} },
  title: 'Viaduct',
  line_speed_kmh: 160,
  cases: [],
  recommendations: [{ ...recommendation, ...change }],
  cautions: [],
});
const request: DraftRequest = { assessment: 'a1', damage_case: 'P2-settled', class: 'passenger' };
const draft = (
  change: Partial<DraftRequest> = {},
  about: Partial<Recommendation> = {},
  before: Restriction | null = null,
) => draftTerms(resultWith(about), { ...request, ...change }, before);

const ann = { holder: 'Ann Author', key: 'k1' };
const bob = { holder: 'Bob Approver', key: 'k2' };
const at = '2026-01-02T03:04:05.000Z';
const drafted = (terms: RestrictionTerms = draft(), id = 'r1'): RestrictionEvent => ({
  type: 'drafted',
  sequence: 1,
  restriction: id,
  at,
  by: ann,
  why: null,
  previous_sha256: null,
  terms,
});
const approved = (id = 'r1'): RestrictionEvent => ({
  type: 'approved',
  sequence: 2,
  restriction: id,
  at,
  by: bob,
  why: null,
  previous_sha256: 'x',
});

describe('the terms of a draft', () => {
  test('are those of the recommendation', () => {
    expect(draft()).toMatchObject({
      kind: 'speed',
      permitted_speed_kmh: 80,
      recommended_speed_kmh: 80,
      from_chainage_km: 12.34,
      to_chainage_km: 12.6,
      lowered_because: null,
    });
  });

  test('say for which directions and tracks the speed holds, as far as the result does', () => {
    const speeds_hold = 'Speeds hold on every track, as long as no trains meet on the deck.';
    expect(draftTerms({ ...resultWith(), speeds_hold }, request, null).speeds_hold).toBe(speeds_hold);
    expect(draft().speeds_hold).toBeNull();
  });

  test('may be slower, with a reason', () => {
    expect(() => draft({ permitted_speed_kmh: 40 })).toThrow(/say why/);
    expect(() => draft({ permitted_speed_kmh: 40, lowered_because: '   ' })).toThrow(/say why/);
    expect(draft({ permitted_speed_kmh: 40, lowered_because: 'Gauge corner wear.' })).toMatchObject({
      permitted_speed_kmh: 40,
    });
    expect(draft({ permitted_speed_kmh: null, lowered_because: 'Works.' })).toMatchObject({
      kind: 'closure',
      permitted_speed_kmh: null,
    });
  });

  test('are never faster than recommended', () => {
    expect(() => draft({ permitted_speed_kmh: 80.001, lowered_because: 'no' })).toThrow(
      expect.objectContaining({ code: 'higher-than-recommended' }),
    );
  });

  test.each(['closed', 'undetermined'] as const)('can only be a closure where the case is %s', (status) => {
    const about = { status, permitted_speed_kmh: null };
    expect(draft({}, about)).toMatchObject({ kind: 'closure', permitted_speed_kmh: null });
    expect(() => draft({ permitted_speed_kmh: 10, lowered_because: 'Crawl.' }, about)).toThrow(
      expect.objectContaining({ code: 'only-closure' }),
    );
    // Not even where a number slipped into such a recommendation.
    expect(() => draft({ permitted_speed_kmh: 10 }, { status, permitted_speed_kmh: 20 })).toThrow(
      expect.objectContaining({ code: 'only-closure' }),
    );
  });

  test('restrict something', () => {
    const about = { status: 'line-speed' as const, permitted_speed_kmh: 160 };
    expect(() => draft({}, about)).toThrow(expect.objectContaining({ code: 'nothing-to-restrict' }));
    expect(draft({ permitted_speed_kmh: 120, lowered_because: 'Works.' }, about).kind).toBe('speed');
  });

  test('cover the whole deck, by chainages that are known or given', () => {
    expect(() => draft({ from_chainage_km: 12.4 })).toThrow(
      expect.objectContaining({ code: 'chainage-too-short' }),
    );
    expect(draft({ from_chainage_km: 12.2 }).from_chainage_km).toBe(12.2);
    const unknown = { from_chainage_km: null, to_chainage_km: null };
    expect(() => draft({}, unknown)).toThrow(expect.objectContaining({ code: 'chainage-missing' }));
    expect(draft({ from_chainage_km: 1, to_chainage_km: 2 }, unknown)).toMatchObject({
      from_chainage_km: 1,
      to_chainage_km: 2,
    });
  });

  test('are as long as the deck and what is damaged beyond it, where the scenario gives no chainage', () => {
    const unknown = { from_chainage_km: null, to_chainage_km: null, from_m: -5, to_m: 260 };
    const given = (to: number) => draft({ from_chainage_km: 12, to_chainage_km: to }, unknown);
    for (const to of [12.001, 12.26, 12.264]) {
      expect(() => given(to)).toThrow(expect.objectContaining({ code: 'chainage-too-short' }));
    }
    expect(() => given(12.001)).toThrow(/are 1 m; it must be 265 m at least.* from -5 m to 260 m/);
    expect(given(12.265)).toMatchObject({ from_chainage_km: 12, to_chainage_km: 12.265 });
    expect(0.282 - 0.017).toBeLessThan(0.265);
    expect(draft({ from_chainage_km: 0.017, to_chainage_km: 0.282 }, unknown).to_chainage_km).toBe(0.282);
    for (const half of [{ from_chainage_km: 12 }, { to_chainage_km: 12.3 }]) {
      expect(() => draft(half, unknown)).toThrow(expect.objectContaining({ code: 'chainage-missing' }));
    }
  });

  test('cannot be judged by a result that gives neither chainage nor length: it is to be assessed again', () => {
    const former = { from_chainage_km: null, to_chainage_km: null, from_m: undefined, to_m: undefined };
    expect(() => draft({ from_chainage_km: 1, to_chainage_km: 9 }, former)).toThrow(
      expect.objectContaining({
        code: 'chainage-missing',
        message: expect.stringContaining('Submit the scenario again'),
      }),
    );
  });

  test('reach the ends of the deck to the millimetre, whatever adding up kilometres made of them', () => {
    const start = 0.334;
    const about = { from_chainage_km: start, to_chainage_km: start + 20 / 1e3, to_m: 20 };
    expect(about.to_chainage_km).toBeGreaterThan(0.354);
    expect(draft({ to_chainage_km: 0.354 }, about).to_chainage_km).toBe(about.to_chainage_km);
    expect(draft({ from_chainage_km: 0.334_000_9 }, about).from_chainage_km).toBe(start);
    expect(() => draft({ to_chainage_km: 0.353_998 }, about)).toThrow(/from 0\.334 to 0\.354 km at least/);
    expect(() => draft({ from_chainage_km: 0.334_002 }, about)).toThrow(
      expect.objectContaining({ code: 'chainage-too-short' }),
    );
  });

  test('cover a predecessor whose ends are the same but for rounding, and leave none of it out', () => {
    const end = 0.334 + 20 / 1e3;
    const before = draft({}, { from_chainage_km: 0.334, to_chainage_km: end, to_m: 20 });
    const inForce = restrictionFrom([drafted(before), approved()]);
    const longer = { from_chainage_km: 0.324, to_chainage_km: 0.354, to_m: 30 };
    expect(draft({}, longer, inForce)).toMatchObject({ from_chainage_km: 0.324, to_chainage_km: end });
    expect(() => draft({}, { ...longer, to_chainage_km: 0.353_998 }, inForce)).toThrow(
      expect.objectContaining({ code: 'predecessor-not-covered' }),
    );
  });

  test('come from a recommendation that exists', () => {
    expect(() => draft({ class: 'freight' })).toThrow(/it does for: P2-settled \/ passenger/);
  });

  test('supersede only what is in force and only what they cover', () => {
    const inForce = restrictionFrom([drafted(), approved()]);
    expect(draft({}, {}, inForce).supersedes).toBe('r1');
    expect(() => draft({}, {}, restrictionFrom([drafted()]))).toThrow(
      expect.objectContaining({ code: 'predecessor-not-in-force' }),
    );
    expect(() => draft({ class: 'freight' }, { class: 'freight' }, inForce)).toThrow(
      expect.objectContaining({ code: 'predecessor-not-covered' }),
    );
    expect(() => draft({}, { to_chainage_km: 12.5 }, inForce)).toThrow(
      expect.objectContaining({ code: 'predecessor-not-covered' }),
    );
  });
});

describe('approval and withdrawal', () => {
  const aDraft = restrictionFrom([drafted()]);
  const inForce = restrictionFrom([drafted(), approved()]);

  test('an author cannot approve, with whichever key', () => {
    for (const holder of [
      'Ann Author',
      ' ann  AUTHOR ',
      'ＡＮＮ Author',
      'Ann Author\u200b',
      '\ufeffAnn Au\u00adthor',
      'Ann\nAuthor',
    ]) {
      expect(() => assertApprovable(aDraft, { holder, key: 'another' }, null)).toThrow(
        expect.objectContaining({ code: 'author-cannot-approve' }),
      );
    }
    expect(() => assertApprovable(aDraft, bob, null)).not.toThrow();
  });

  test('only a draft can be approved', () => {
    expect(() => assertApprovable(inForce, bob, null)).toThrow(
      expect.objectContaining({ code: 'wrong-state' }),
    );
  });

  test('what is faster than recommended is not approved, however it came into the draft', () => {
    const changed = (change: Partial<RestrictionTerms>) =>
      restrictionFrom([drafted({ ...draft(), ...change })]);
    const approve = (change: Partial<RestrictionTerms>) => () => assertApprovable(changed(change), bob, null);
    expect(approve({ permitted_speed_kmh: 80 })).not.toThrow();
    expect(approve({ permitted_speed_kmh: 300 })).toThrow(
      expect.objectContaining({ code: 'higher-than-recommended' }),
    );
    for (const recommended_status of ['closed', 'undetermined'] as const) {
      expect(approve({ recommended_status })).toThrow(expect.objectContaining({ code: 'only-closure' }));
      expect(approve({ recommended_status, kind: 'closure', permitted_speed_kmh: null })).not.toThrow();
    }
    expect(approve({ recommended_speed_kmh: null })).toThrow(
      expect.objectContaining({ code: 'only-closure' }),
    );
  });

  test('a successor needs its predecessor still in force', () => {
    const successor = restrictionFrom([drafted({ ...draft(), supersedes: 'r1' }, 'r2')]);
    expect(() => assertApprovable(successor, bob, inForce)).not.toThrow();
    for (const predecessor of [null, aDraft]) {
      expect(() => assertApprovable(successor, bob, predecessor)).toThrow(
        expect.objectContaining({ code: 'predecessor-not-in-force' }),
      );
    }
  });

  test('lifting takes an approver; an author may take back a draft', () => {
    expect(() => assertWithdrawable(aDraft, ann, false)).not.toThrow();
    expect(() => assertWithdrawable(inForce, ann, false)).toThrow(
      expect.objectContaining({ code: 'approver-needed' }),
    );
    expect(() => assertWithdrawable(aDraft, { holder: 'Carl', key: 'k3' }, false)).toThrow(
      expect.objectContaining({ code: 'approver-needed' }),
    );
    expect(() => assertWithdrawable(inForce, bob, true)).not.toThrow();
  });
});

describe('a history', () => {
  test('begins with a draft and leaves no entry out', () => {
    expect(() => restrictionFrom([])).toThrow(BrokenHistoryError);
    expect(() => restrictionFrom([approved()])).toThrow(BrokenHistoryError);
    expect(() => restrictionFrom([drafted(), { ...approved(), sequence: 3 }])).toThrow(BrokenHistoryError);
    expect(() => restrictionFrom([drafted(), approved('r2')])).toThrow(BrokenHistoryError);
  });

  test('names the successor of what was superseded', () => {
    const superseded: RestrictionEvent = { ...approved(), type: 'superseded', sequence: 3, successor: 'r9' };
    expect(restrictionFrom([drafted(), approved(), superseded])).toMatchObject({
      state: 'superseded',
      successor: 'r9',
    });
  });
});
