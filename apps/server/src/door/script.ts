/**
 * What the sign-in and joining pages do, as plain JavaScript for the browser: passkeys by the Web Authentication API
 * (level 3), a password where there is none.
 */
export const doorScript = `
const form = document.querySelector('form');
const alertBox = document.querySelector('[role=alert]');
const secret = form.dataset.secret;

const bytes = (text) => Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (c) => c.charCodeAt(0));
const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer)))
  .replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');

async function ask(path, body) {
  const response = await fetch(path, {
    method: 'POST',
    headers: body === undefined ? {} : { 'Content-Type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  if (response.status === 204) return undefined;
  const answer = await response.json();
  if (!response.ok) throw new Error([answer.title + '.', answer.errors?.[0]?.detail ?? answer.detail].filter(Boolean).join(' '));
  return answer;
}

const named = (list) => (list ?? []).map((one) => ({ ...one, id: bytes(one.id) }));

function told(credential) {
  const { clientDataJSON, attestationObject, authenticatorData, signature, userHandle } = credential.response;
  const parts = { clientDataJSON, attestationObject, authenticatorData, signature, userHandle };
  const response = Object.fromEntries(Object.entries(parts).filter(([, value]) => value).map(([name, value]) => [name, text(value)]));
  if (credential.response.getTransports) response.transports = credential.response.getTransports();
  return { id: credential.id, rawId: text(credential.rawId), type: credential.type, clientExtensionResults: {}, response };
}

async function makePasskey(name) {
  const { ceremony, options } = await ask('/api/invitations/' + secret + '/passkey-options', { name });
  const credential = await navigator.credentials.create({ publicKey: {
    ...options, challenge: bytes(options.challenge), user: { ...options.user, id: bytes(options.user.id) },
    excludeCredentials: named(options.excludeCredentials),
  } });
  return ask('/api/invitations/' + secret + '/passkey', { name, ceremony, answer: told(credential) });
}

async function usePasskey() {
  const { ceremony, options } = await ask('/api/sessions/passkey-options');
  const credential = await navigator.credentials.get({ publicKey: {
    ...options, challenge: bytes(options.challenge), allowCredentials: named(options.allowCredentials),
  } });
  return ask('/api/sessions/passkey', { ceremony, answer: told(credential) });
}

const deeds = {
  'use-passkey': () => usePasskey(),
  'use-password': ({ name, password }) => ask('/api/sessions/password', { name, password }),
  'make-passkey': ({ name }) => makePasskey(name),
  'make-password': ({ name, password }) => ask('/api/invitations/' + secret + '/password', { name, password }),
  'take-up': () => ask('/api/invitations/' + secret),
};

form.addEventListener('submit', async (event) => {
  event.preventDefault();
  alertBox.textContent = '';
  try {
    await deeds[event.submitter.value](Object.fromEntries(new FormData(form)));
    location.assign('/');
  } catch (error) {
    alertBox.textContent = error.name === 'NotAllowedError' ? 'The passkey was not given. Try again, or use a password.' : error.message;
  }
});
`;
