import { z } from 'zod';
import { valueAt } from './describe-value.js';

/** The schema without optional, default, nullable and the like around it. */
export function unwrapped(schema: z.core.$ZodType): z.core.$ZodType {
  let inner = schema;
  for (;;) {
    if (
      inner instanceof z.ZodOptional ||
      inner instanceof z.ZodDefault ||
      inner instanceof z.ZodPrefault ||
      inner instanceof z.ZodNullable
    ) {
      inner = inner.unwrap();
    } else return inner;
  }
}

/** The schema that stands for a path of a document, unwrapped; null where the path leaves the schema. */
export function schemaAt(
  root: z.core.$ZodType,
  path: readonly PropertyKey[],
  document: unknown,
): z.core.$ZodType | null {
  let schema: z.core.$ZodType | null = resolved(root, document);
  for (const [depth, part] of path.entries()) {
    schema = child(schema, part);
    if (schema === null) return null;
    schema = resolved(schema, valueAt(document, path.slice(0, depth + 1)));
  }
  return schema;
}

function child(schema: z.core.$ZodType, part: PropertyKey): z.core.$ZodType | null {
  if (schema instanceof z.ZodObject) return schema.shape[String(part)] ?? null;
  if (schema instanceof z.ZodArray) return schema.element;
  if (schema instanceof z.ZodDiscriminatedUnion && schema.def.discriminator === part) {
    return z.enum(discriminatorValues(schema));
  }
  return null;
}

/** Unwraps, and picks the option of a discriminated union that the value asks for; the union itself where none fits. */
function resolved(schema: z.core.$ZodType, value: unknown): z.core.$ZodType {
  const inner = unwrapped(schema);
  if (!(inner instanceof z.ZodDiscriminatedUnion)) return inner;
  const index = discriminatorValues(inner).indexOf(String(valueAt(value, [inner.def.discriminator])));
  return inner.options[index] ?? inner;
}

/** The word that selects each option of a union, in the order of the options. */
function discriminatorValues(union: z.ZodDiscriminatedUnion): string[] {
  return union.options.map((option) => {
    const literal = option instanceof z.ZodObject ? option.shape[union.def.discriminator] : undefined;
    return literal instanceof z.ZodLiteral ? [...literal.values].join() : '';
  });
}
