import type { DescribeRouteOptions } from 'hono-openapi';
import { resolver } from 'hono-openapi';
import type * as z from 'zod/mini';
import { Fault, type FaultKind, problemBody, problemResponse } from './problem.ts';

type Responses = NonNullable<DescribeRouteOptions['responses']>;
type Response = Responses[string];

/** A JSON answer that went well. */
export const json = (schema: z.ZodMiniType, description: string): Response => ({
  description,
  content: { 'application/json': { schema: resolver(schema) } },
});

/** An answer that went well and is no JSON. */
export const text = (type: string, description: string): Response => ({
  description,
  content: { [type]: { schema: { type: 'string' } } },
});

/** Done, and nothing to say. */
export const done: Response = { description: 'Done.' };

/** What a route answers: once it went well, and each way it can fail. */
export function answers(good: Response, ...faults: readonly FaultKind[]): Responses {
  const responses: Record<string, Response> = { [good === done ? 204 : 200]: good };
  for (const kind of faults) {
    const { status } = problemResponse(new Fault(kind));
    const before = responses[status];
    const said = `\`${kind}\``;
    responses[status] =
      before !== undefined && 'description' in before
        ? { ...before, description: `${before.description}, ${said}` }
        : { description: said, content: { 'application/problem+json': { schema: resolver(problemBody) } } };
  }
  return responses;
}
