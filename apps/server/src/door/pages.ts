import { html } from 'hono/html';

type Part = ReturnType<typeof html>;

const page = (title: string, content: Part): Part => html`<!doctype html>
<html lang="en">
  <head>
    <meta charset="utf-8" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <title>${title}</title>
    <link rel="stylesheet" href="/plain.css" />
    <script type="module" src="/door.js"></script>
  </head>
  <body>
    <main>
      <h1>${title}</h1>
      ${content}
      <p role="alert"></p>
      <noscript><p>Signing in needs JavaScript.</p></noscript>
    </main>
  </body>
</html>
`;

export const signInPage = (): Part =>
  page(
    'Sign in',
    html`<form>
        <p>With the passkey of this device, or with your name and password.</p>
        <button value="use-passkey" formnovalidate>Use a passkey</button>
        <label for="name">Name</label>
        <input id="name" name="name" autocomplete="username webauthn" required maxlength="60" />
        <label for="password">Password</label>
        <input id="password" name="password" type="password" autocomplete="current-password" required />
        <button value="use-password" class="second">Use the password</button>
      </form>`,
  );

const PARTS = {
  keeper: 'write in its journal and decide who else may',
  mentor: 'read its journal, remark on it and propose orders',
  reader: 'read its journal',
} as const;

export interface Offer {
  readonly secret: string;
  readonly role: keyof typeof PARTS;
  /** The first account of the server. */
  readonly founding: boolean;
  readonly signedIn: boolean;
  /** "8 March 2026, 12:00 UTC" */
  readonly expires: string;
}

export const joinPage = ({ secret, role, founding, signedIn, expires }: Offer): Part =>
  page(
    founding ? 'Open the first account' : 'You are invited to a tank',
    html`<p>${
      founding
        ? 'Whoever opens it keeps every tank that is on this server already.'
        : `As its ${role} you ${PARTS[role]}.`
    } The invitation serves one person and ends on ${expires}.</p>
      <form data-secret="${secret}">
        ${signedIn && !founding ? html`<button value="take-up" formnovalidate>Accept with my account</button>` : newAccount}
      </form>
      ${signedIn || founding ? '' : html`<p>You have an account? <a href="/sign-in">Sign in</a>, then open this link again.</p>`}`,
  );

const newAccount = html`<label for="name">Your name, as others will see it</label>
        <input id="name" name="name" autocomplete="username" required maxlength="60" />
        <button value="make-passkey">Make a passkey on this device</button>
        <label for="password">Or a password of at least 12 characters</label>
        <input id="password" name="password" type="password" autocomplete="new-password" minlength="12" maxlength="200" />
        <button value="make-password" class="second">Use the password</button>`;

export const endedPage = (): Part =>
  page(
    'This invitation has ended',
    html`<form hidden></form><p>It was used or has expired. Ask for a new one.</p>`,
  );
