/**
 * Who may ask what: every route there is, with the one rule that opens it. A route that is not listed is refused.
 * On a server for one person alone, that person is keeper of every tank.
 */
export type Rule =
  /** Open to all. */
  | 'anyone'
  /** Whoever brings the secret that is in the address or the request; the route checks it. */
  | 'secret-holder'
  /** A probe, by its token; the route checks it. */
  | 'probe'
  /** Whoever looks after the machine. */
  | 'operator'
  /** Anyone with an account. */
  | 'person'
  /** Reads one tank. */
  | 'reader'
  /** Reads, remarks and proposes. */
  | 'mentor'
  /** Writes, and decides who else may. */
  | 'keeper'
  /** A keeper, or anyone with an account where the tank is new to this server. */
  | 'keeper-or-new';

export const rules: Readonly<Record<string, Rule>> = {
  'GET /health': 'anyone',
  'GET /metrics': 'operator',
  'GET /api/openapi.json': 'anyone',

  'GET /api/tanks': 'person',
  'GET /api/tanks/:tank/entries': 'reader',
  'POST /api/tanks/:tank/entries': 'keeper-or-new',
  'POST /api/tanks/:tank/lacking': 'keeper-or-new',
  'GET /api/tanks/:tank/course': 'reader',
  'GET /api/tanks/:tank/sheet': 'reader',
  'GET /api/tanks/:tank/orders': 'reader',
  'GET /api/rounds': 'person',
  'GET /api/journal': 'person',
  'POST /api/journal': 'person',

  'GET /*': 'anyone',
};

export type Role = 'keeper' | 'mentor' | 'reader';

/** Whether a part in a tank opens what the rule guards. */
export function reaches(role: Role, rule: 'reader' | 'mentor' | 'keeper'): boolean {
  const order: readonly Role[] = ['reader', 'mentor', 'keeper'];
  return order.indexOf(role) >= order.indexOf(rule);
}
