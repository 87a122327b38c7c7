import { validator } from 'hono-openapi';
import type * as z from 'zod/mini';
import { Fault } from './problem.ts';

/** Checks one part of a request against its schema; a fault names every place that is wrong. */
export const checked = <Schema extends z.ZodMiniType, Target extends 'json' | 'query' | 'param'>(
  target: Target,
  schema: Schema,
) =>
  validator(target, schema, (result) => {
    if (result.success) return;
    throw new Fault(
      'unsound',
      'See errors.',
      result.error.map(({ path = [], message }) => ({
        pointer: `${target === 'json' ? '' : `${target}:`}${path.map(pointerPart).join('')}`,
        detail: message,
      })),
    );
  });

function pointerPart(part: PropertyKey | { readonly key: PropertyKey }): string {
  const key = typeof part === 'object' ? part.key : part;
  return `/${String(key).replaceAll('~', '~0').replaceAll('/', '~1')}`;
}
