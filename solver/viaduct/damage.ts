import type { DamageEffect, DeckSegment, LayerLoss, Span, Support, Viaduct } from './model.js';

/** A damage effect names something the viaduct does not have, or part of a stiffness that was never given. */
export class DamageError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'DamageError';
  }
}

/**
 * The viaduct after all effects of a case; effects combine in the order given.
 * Losses of the same stiffness multiply: half of it gone twice leaves a quarter.
 *
 * @throws DamageError
 */
export function applyDamage(viaduct: Viaduct, effects: readonly DamageEffect[]): Viaduct {
  return effects.reduce(applyEffect, viaduct);
}

function applyEffect(viaduct: Viaduct, effect: DamageEffect): Viaduct {
  switch (effect.kind) {
    case 'support-stiffness-loss':
      return withSupport(viaduct, effect.support, (support) => {
        if (effect.fraction >= 1) return { ...support, stiffness: 0 };
        if (!Number.isFinite(support.stiffness)) {
          throw new DamageError(
            `support ${support.id} is rigid: give it a stiffness before a part of it can be lost`,
          );
        }
        return { ...support, stiffness: support.stiffness * (1 - effect.fraction) };
      });
    case 'support-settlement':
      return withSupport(viaduct, effect.support, (support) => ({
        ...support,
        settlement: support.settlement + effect.settlement,
      }));
    case 'bearing-loss':
      return withSupport(viaduct, effect.support, (support) => withoutBearing(support, effect.side));
    case 'deck-stiffness-loss': {
      const span = viaduct.spans[effect.span];
      if (!span) throw new DamageError(`there is no span ${effect.span + 1}`);
      const weakened = { segments: weaken(span.segments, effect.from, effect.to, 1 - effect.fraction) };
      return {
        ...viaduct,
        spans: viaduct.spans.map((other, index): Span => (index === effect.span ? weakened : other)),
      };
    }
    case 'bedding-loss':
      return withLayerLoss(viaduct, {
        layer: 'bedding',
        from: effect.from,
        to: effect.to,
        fraction: effect.fraction,
      });
    case 'fastening-loss':
      return withLayerLoss(viaduct, {
        layer: 'fastening',
        from: effect.from,
        to: effect.to,
        fraction: effect.fraction,
      });
  }
}

function withSupport(viaduct: Viaduct, id: string, change: (support: Support) => Support): Viaduct {
  if (!viaduct.supports.some((support) => support.id === id))
    throw new DamageError(`there is no support ${id}`);
  return {
    ...viaduct,
    supports: viaduct.supports.map((support) => (support.id === id ? change(support) : support)),
  };
}

/** Without one of two bearings, or without any: both are gone once the other side is lost as well. */
function withoutBearing(support: Support, side: 'left' | 'right' | undefined): Support {
  if (side === undefined || (support.lostBearing && support.lostBearing !== side))
    return { ...support, bearing: false };
  if (support.bearingSpread === undefined)
    throw new DamageError(`support ${support.id} has no bearing spread: there is one bearing to lose`);
  return { ...support, lostBearing: side };
}

function withLayerLoss(viaduct: Viaduct, loss: LayerLoss): Viaduct {
  if (!viaduct.track) throw new DamageError(`a ${loss.layer} loss needs a track`);
  if (loss.layer === 'bedding' && !viaduct.track.bedding)
    throw new DamageError('a bedding loss needs a slab on bedding');
  return { ...viaduct, track: { ...viaduct.track, losses: [...viaduct.track.losses, loss] } };
}

/** Cuts the segments at both ends of the stretch and scales the stiffness inside it; rigidities in bending, shear and torsion alike. */
function weaken(
  segments: readonly DeckSegment[],
  from: number,
  to: number,
  remaining: number,
): DeckSegment[] {
  const pieces: DeckSegment[] = [];
  let start = 0;
  for (const segment of segments) {
    const end = start + segment.length;
    const cuts = [start, Math.min(Math.max(from, start), end), Math.min(Math.max(to, start), end), end];
    for (let piece = 0; piece < 3; piece++) {
      const length = cuts[piece + 1]! - cuts[piece]!;
      if (length <= 1e-9) continue;
      const weakened = piece === 1;
      pieces.push({
        length,
        massPerLength: segment.massPerLength,
        flexuralRigidity: segment.flexuralRigidity * (weakened ? remaining : 1),
        shearRigidity:
          segment.shearRigidity === null ? null : segment.shearRigidity * (weakened ? remaining : 1),
        ...(segment.torsion && {
          torsion: {
            ...segment.torsion,
            rigidity: segment.torsion.rigidity * (weakened ? remaining : 1),
          },
        }),
      });
    }
    start = end;
  }
  return pieces;
}
