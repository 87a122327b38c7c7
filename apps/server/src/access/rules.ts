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
  'GET /api/here': 'anyone',

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

  'GET /api/push/key': 'person',
  'GET /api/push/subscriptions': 'person',
  'PUT /api/push/subscriptions': 'person',
  'DELETE /api/push/subscriptions': 'person',
  'GET /api/push/quiet-hours': 'person',
  'PUT /api/push/quiet-hours': 'person',
  'DELETE /api/push/quiet-hours': 'person',
  'GET /api/tanks/:tank/quiet-hours': 'reader',
  'PUT /api/tanks/:tank/quiet-hours': 'keeper',

  'GET /api/exports': 'person',
  'POST /api/exports': 'person',
  'GET /api/exports/:id': 'person',
  'GET /api/exports/:id/file': 'person',
  'DELETE /api/exports/:id': 'person',

  'POST /api/calendar': 'person',
  'DELETE /api/calendar': 'person',
  'GET /calendar/:secret': 'secret-holder',
  'GET /digest': 'person',
  'GET /plain.css': 'anyone',

  'GET /api/tanks/:tank/probes': 'reader',
  'POST /api/tanks/:tank/probes': 'keeper',
  'DELETE /api/tanks/:tank/probes/:id': 'keeper',
  'GET /api/tanks/:tank/probes/:id/aside': 'reader',
  'POST /api/probe-values': 'probe',

  // On a shared server only.
  'GET /api/invitations/:secret': 'secret-holder',
  'POST /api/invitations/:secret/password': 'secret-holder',
  'POST /api/invitations/:secret/passkey-options': 'secret-holder',
  'POST /api/invitations/:secret/passkey': 'secret-holder',
  'POST /api/invitations/:secret': 'person',
  'POST /api/sessions/password': 'anyone',
  'POST /api/sessions/passkey-options': 'anyone',
  'POST /api/sessions/passkey': 'anyone',
  'GET /api/sessions': 'person',
  'DELETE /api/sessions/current': 'person',
  'DELETE /api/sessions/others': 'person',
  'DELETE /api/sessions/:id': 'person',
  'DELETE /api/sessions': 'person',
  'GET /api/self': 'person',
  'PUT /api/self/password': 'person',
  'POST /api/self/passkey-options': 'person',
  'POST /api/self/passkeys': 'person',
  'DELETE /api/self/passkeys/:id': 'person',
  'GET /api/self/export': 'person',
  'DELETE /api/self': 'person',
  'GET /api/tanks/:tank/crew': 'reader',
  'PUT /api/tanks/:tank/crew/:account': 'keeper',
  'DELETE /api/tanks/:tank/crew/self': 'reader',
  'DELETE /api/tanks/:tank/crew/:account': 'keeper',
  'GET /api/tanks/:tank/invitations': 'keeper',
  'POST /api/tanks/:tank/invitations': 'keeper',
  'DELETE /api/tanks/:tank/invitations/:id': 'keeper',
  'POST /api/tanks/:tank/remarks': 'mentor',
  'GET /api/tanks/:tank/proposals': 'reader',
  'POST /api/tanks/:tank/proposals': 'mentor',
  'POST /api/tanks/:tank/proposals/:id/acceptance': 'keeper',
  'POST /api/tanks/:tank/proposals/:id/refusal': 'keeper',

  // The built pages.
  'GET /*': 'anyone',
};

export type Role = 'keeper' | 'mentor' | 'reader';

/** Whether a part in a tank opens what the rule guards. */
export function reaches(role: Role, rule: 'reader' | 'mentor' | 'keeper'): boolean {
  const order: readonly Role[] = ['reader', 'mentor', 'keeper'];
  return order.indexOf(role) >= order.indexOf(rule);
}
