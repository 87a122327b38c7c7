import { timingSafeEqual } from 'node:crypto';
import type { TankId } from '@brinewright/journal';
import type { Context, MiddlewareHandler } from 'hono';
import { matchedRoutes } from 'hono/route';
import { personOfSession } from '../crew/sessions.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { ALONE, type Env, isNew, type Person, roleIn } from './person.ts';
import { type Role, type Rule, reaches, rules } from './rules.ts';

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

/** "GET /api/tanks/:tank/entries": the route a request goes to, by its rule's name; undefined where there is none. */
export function routeName(context: Context): string | undefined {
  const route = matchedRoutes(context).find(({ method }) => method !== 'ALL');
  return route && `${route.method} ${route.path}`;
}

/** The tank an address names where its route says `:tank`. @throws Fault where it names none */
function tankIn(route: string, path: string): TankId {
  const text = path.split('/')[route.split('/').indexOf(':tank')] ?? '';
  if (UUID.test(text)) return text as TankId;
  throw new Fault('unsound', 'See errors.', [
    { pointer: 'param:/tank', detail: 'A tank is named by its UUID, in lower case.' },
  ]);
}

/** Lets through only what the table of rules opens to whoever asks. Without a rule nothing is let through. */
export function enforce(services: Services): MiddlewareHandler<Env> {
  return async (context, next) => {
    const route = routeName(context);
    if (route !== undefined) {
      const rule = rules[route];
      if (rule === undefined) throw new Error(`no rule for ${route}`);
      await admit(services, context, rule, route);
    }
    await next();
  };
}

async function admit(services: Services, context: Context<Env>, rule: Rule, route: string): Promise<void> {
  if (rule === 'anyone' || rule === 'secret-holder' || rule === 'probe') return;
  if (rule === 'operator') return admitOperator(services, context);
  const person = await personOf(services, context);
  if (person === undefined) throw new Fault('not-signed-in');
  context.set('person', person);
  if (rule === 'person') return;
  const tank = tankIn(route, context.req.path);
  context.set('tank', tank);
  context.set('role', await admitToTank(services, person, tank, rule));
}

const personOf = async (services: Services, context: Context): Promise<Person | undefined> =>
  services.mode.shared ? personOfSession(services, context) : ALONE;

async function admitToTank(
  services: Services,
  person: Person,
  tank: TankId,
  rule: 'reader' | 'mentor' | 'keeper' | 'keeper-or-new',
): Promise<Role | undefined> {
  const role = await roleIn(services, person, tank);
  const least = rule === 'keeper-or-new' ? 'keeper' : rule;
  if (role !== undefined && reaches(role, least)) return role;
  if (role !== undefined)
    throw new Fault('not-allowed', `This needs a ${least} of the tank; you are ${role}.`);
  // Whoever has no part in a tank is not told whether there is one.
  if (rule !== 'keeper-or-new' || !(await isNew(services, tank))) throw new Fault('not-here');
  return undefined;
}

function admitOperator({ mode, metricsToken }: Services, context: Context): void {
  if (!mode.shared && metricsToken === undefined) return;
  const given = context.req.header('Authorization')?.replace(/^Bearer /, '') ?? '';
  if (metricsToken === undefined || !sameText(given, metricsToken)) throw new Fault('not-here');
}

function sameText(a: string, b: string): boolean {
  const [one, other] = [Buffer.from(a), Buffer.from(b)];
  return one.length === other.length && timingSafeEqual(one, other);
}
