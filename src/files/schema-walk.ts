import type { z } from 'zod';
import type { KeyPath } from './document.ts';

/** The parts of a zod 4 definition that are looked at here. */
interface Definition {
  readonly type: string;
  readonly innerType?: z.core.$ZodType;
  readonly shape?: Readonly<Record<string, z.core.$ZodType>>;
  readonly element?: z.core.$ZodType;
  readonly options?: readonly z.core.$ZodType[];
  readonly discriminator?: string;
  readonly entries?: Readonly<Record<string, string>>;
  readonly values?: readonly unknown[];
  readonly valueType?: z.core.$ZodType;
  readonly items?: readonly z.core.$ZodType[];
}

const definitionOf = (schema: z.core.$ZodType): Definition => schema._zod.def as unknown as Definition;

function unwrap(schema: z.core.$ZodType): z.core.$ZodType {
  const { innerType } = definitionOf(schema);
  return innerType === undefined ? schema : unwrap(innerType);
}

/** The options of a union that fit the kind of `value` (list, object, scalar) and its discriminator. */
function optionsFor(definition: Definition, value: unknown): readonly z.core.$ZodType[] {
  const options = (definition.options ?? []).map(unwrap);
  if (definition.discriminator !== undefined) {
    const key = definition.discriminator;
    const named = (value as Record<string, unknown> | null)?.[key];
    return options.filter((option) => {
      const literal = definitionOf(option).shape?.[key];
      return literal !== undefined && (definitionOf(literal).values ?? []).includes(named);
    });
  }
  const kind = Array.isArray(value) ? 'array' : typeof value === 'object' && value !== null ? 'object' : 'scalar';
  return options.filter((option) => {
    const { type } = definitionOf(option);
    return kind === 'scalar' ? type !== 'array' && type !== 'object' : type === kind;
  });
}

/** The schema that governs `key` of `value`, or `null` where none does. */
function schemaAt(schema: z.core.$ZodType, value: unknown, key: KeyPath): z.core.$ZodType | null {
  let current = unwrap(schema);
  let at = value;
  for (const step of [...key, null]) {
    if (definitionOf(current).type === 'union') {
      const option = optionsFor(definitionOf(current), at)[0];
      if (option === undefined) return step === null ? current : null;
      current = unwrap(option);
    }
    if (step === null) return current;
    const definition = definitionOf(current);
    const next =
      typeof step === 'number'
        ? (definition.items?.[step] ?? definition.element)
        : (definition.shape?.[step] ?? definition.valueType);
    if (next === undefined) return null;
    at = (at as Record<string | number, unknown> | null | undefined)?.[step];
    current = unwrap(next);
  }
  return current;
}

/** Keys that an object at `key` may have. */
export function keysAt(schema: z.core.$ZodType, value: unknown, key: KeyPath): readonly string[] {
  const found = schemaAt(schema, value, key);
  return found === null ? [] : Object.keys(definitionOf(found).shape ?? {});
}

/** Words that a union's discriminator accepts. */
export function discriminatorWords(schema: z.core.$ZodType, value: unknown, key: KeyPath): readonly string[] {
  const found = schemaAt(schema, value, key.slice(0, -1));
  const { options, discriminator } = found === null ? {} : definitionOf(found);
  if (options === undefined || discriminator === undefined) return [];
  return options.flatMap((option) => {
    const literal = definitionOf(unwrap(option)).shape?.[discriminator];
    return literal === undefined ? [] : (definitionOf(literal).values ?? []).map(String);
  });
}
