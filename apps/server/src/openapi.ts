import { Hono } from 'hono';
import { generateSpecs } from 'hono-openapi';
import type { Env } from './access/person.ts';
import { type Rule, rules } from './access/rules.ts';
import { routes } from './routes/all.ts';
import type { Services } from './services.ts';

const ABOUT = `Entries in and out, answers about tanks, and the people who share them.

Units are fixed: litres, grams, mg/L, °C, practical salinity, meq/L, days; instants are RFC 3339. Faults are problem
details (RFC 9457) whose \`errors\` point into the request. On a server for one person nothing is asked; on a shared
one a browser carries a session cookie, and what changes something has to come from the server's own pages.`;

/** Words of the rules, for readers of the description. */
const OPEN_TO: Readonly<Record<Rule, string>> = {
  anyone: 'anyone',
  'secret-holder': 'whoever has the secret address or link',
  probe: 'a probe, by its bearer token',
  operator: 'whoever looks after the machine, by bearer token',
  person: 'anyone with an account',
  reader: 'readers, mentors and keepers of the tank',
  mentor: 'mentors and keepers of the tank',
  keeper: 'keepers of the tank',
  'keeper-or-new': 'keepers of the tank, or anyone with an account where the tank is new here',
};

/** The whole interface of a shared server as an OpenAPI 3.1 document, made from the schemas that validate. */
export async function describeInterface(): Promise<object> {
  // Routes are only listed here, none is called: what they would work with is not needed.
  const unserved = { mode: { shared: true, origin: '', behindProxy: false } } as Services;
  const { paths, ...document } = await generateSpecs(routes(unserved), {
    documentation: {
      openapi: '3.1.0',
      info: { title: 'Brinewright server', version: '1', description: ABOUT },
      components: {
        securitySchemes: {
          session: { type: 'apiKey', in: 'cookie', name: '__Host-brinewright' },
          bearer: { type: 'http', scheme: 'bearer' },
        },
      },
    },
    defaultValidationErrorResponse: false,
  });
  return { ...document, paths: guarded(paths) };
}

type Operation = { readonly description?: string };
type Paths = Readonly<Record<string, unknown>>;

/** Each operation with whom it is open to. */
function guarded(paths: Paths): Paths {
  return Object.fromEntries(
    Object.entries(paths)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([path, item]) => [
        path,
        Object.fromEntries(
          Object.entries(item as Readonly<Record<string, Operation>>).map(([method, operation]) => {
            const rule = rules[`${method.toUpperCase()} ${path.replaceAll(/\{(\w+)\}/g, ':$1')}`];
            if (rule === undefined) throw new Error(`no rule for ${method} ${path}`);
            const open = `Open to ${OPEN_TO[rule]}.`;
            const description = [operation.description, open].filter(Boolean).join(' ');
            return [method, { ...operation, description, security: securityOf(rule) }];
          }),
        ),
      ]),
  );
}

function securityOf(rule: Rule): readonly object[] {
  if (rule === 'anyone' || rule === 'secret-holder') return [];
  return rule === 'probe' || rule === 'operator' ? [{ bearer: [] }] : [{ session: [] }];
}

/** The description, served beside what it describes. */
export function openApiRoutes(): Hono<Env> {
  let document: Promise<object> | undefined;
  return new Hono<Env>().get('/api/openapi.json', async (context) => {
    document ??= describeInterface();
    return context.json(await document);
  });
}
