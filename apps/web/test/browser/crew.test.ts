import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rulesBroken, screen, startServer, type TestServer, type Visit, visit } from './support.ts';

const PASSWORD = 'salt, light and patience';

let server: TestServer;
let keeper: Visit;
let sheet: string;

/** A device that makes and gives passkeys by itself, as one does whose owner nods. */
async function withPasskeys({ context, page }: Visit): Promise<void> {
  const session = await context.newCDPSession(page);
  await session.send('WebAuthn.enable');
  await session.send('WebAuthn.addVirtualAuthenticator', {
    options: {
      protocol: 'ctap2',
      transport: 'internal',
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: true,
      automaticPresenceSimulation: true,
    },
  });
}

const inStep = (page: Page) => page.getByText('nothing waits').first().waitFor();
const workshop = (page: Page) => page.goto(`${server.address}/workshop`);

/** Makes a link to the keeper's tank. */
async function invitation(role: 'keeper' | 'mentor' | 'reader'): Promise<string> {
  const { page } = keeper;
  await page.goto(`${sheet}/crew`);
  await page.getByLabel('As', { exact: true }).selectOption(role);
  await page.getByRole('button', { name: 'Make a link' }).click();
  return page.getByLabel('Invitation link').inputValue();
}

/** Someone new who takes a link up with a password. */
async function joined(link: string, name: string): Promise<Visit> {
  const guest = await visit();
  await guest.page.goto(link);
  await guest.page.getByLabel('Your name, as others will see it').fill(name);
  await guest.page.getByLabel('Or a password').fill(PASSWORD);
  await guest.page.getByRole('button', { name: 'Use this password' }).click();
  await guest.page.getByRole('link', { name: 'Crew' }).waitFor();
  return guest;
}

async function signedIn({ page }: Visit, name: string): Promise<void> {
  await page.goto(`${server.address}/sign-in`);
  await page.getByLabel('Name', { exact: true }).fill(name);
  await page.getByLabel('Password').fill(PASSWORD);
  await page.getByRole('button', { name: 'Use the password' }).click();
  await page.waitForURL(`${server.address}/`);
}

beforeAll(async () => {
  server = await startServer({ shared: true });
  keeper = await visit({ width: 1280 });
  await withPasskeys(keeper);
  const { page } = keeper;
  await page.goto(server.joinAt);
  await page.getByLabel('Your name, as others will see it').fill('Ines');
  await page.getByRole('button', { name: 'Make a passkey on this device' }).click();
  await page.waitForURL(`${server.address}/`);
  await page.goto(`${server.address}/new`);
  await page.getByLabel('Name', { exact: true }).fill('Gully');
  await page.getByRole('button', { name: 'Open the tank' }).click();
  await page.getByRole('heading', { name: /Gully/ }).waitFor();
  await inStep(page);
  sheet = page.url();
});
afterAll(async () => {
  await keeper.close();
  await server.stop();
});

describe('a passkey', () => {
  it('made when the first account was opened lets its owner in again, and is forgotten, and another made', async () => {
    const { page } = keeper;
    await workshop(page);
    await page.getByText('Signed in as Ines.').waitFor();
    await page.getByRole('button', { name: 'Sign out here' }).click();
    await page.getByRole('link', { name: 'Sign in' }).first().click();
    await page.getByRole('button', { name: 'Use a passkey' }).click();
    await page.waitForURL(`${server.address}/`);
    await inStep(page);
    await workshop(page);
    await page.getByText('Ways in').click();
    const passkeys = () =>
      page.evaluate(async () => (await (await fetch('/api/self')).json()).passkeys.length);
    const forget = page.getByLabel(/^Forget the passkey made/);
    await forget.click();
    await page.getByRole('button', { name: 'Forget it' }).click();
    await page.getByText('It is the only way into your account').waitFor();
    expect(await passkeys()).toBe(1);
    await page.getByLabel('New password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Set the password' }).click();
    await page.getByText('The password is set.').waitFor();
    await page.getByText('A password', { exact: true }).waitFor();
    await page.reload();
    await page.getByText('Ways in').click();
    await forget.click();
    await page.getByText('It then lets nobody in.').waitFor();
    expect(await passkeys()).toBe(1);
    await page.getByRole('button', { name: 'Forget it' }).click();
    await page.getByText('The passkey is forgotten.').waitFor();
    expect(await passkeys()).toBe(0);
    expect(await forget.count()).toBe(0);
    await page.getByRole('button', { name: 'Make a passkey on this device' }).click();
    await page.getByText('The passkey is kept.').waitFor();
    expect(await forget.count()).toBe(1);
  });
});

describe('a tank of the device', () => {
  it('goes to a shared server only when its keeper says so', async () => {
    const guest = await joined(await invitation('reader'), 'Nuno');
    const { page } = guest;
    await page.goto(`${server.address}/workshop`);
    await page.getByLabel('Journal file').setInputFiles({
      name: 'own.ndjson',
      mimeType: 'application/x-ndjson',
      buffer: Buffer.from(
        '{"journal":1}\n{"id":"0197b000-0000-7000-8000-0000000000f1","tank":"0197b000-0000-7000-8000-0000000000f0","at":"2026-03-01T09:00:00Z","kind":"tank","body":{"name":"Private"}}',
      ),
    });
    await page.getByText('1 tank is on this device only').first().waitFor();
    const listed = () => page.evaluate(async () => (await fetch('/api/tanks')).text());
    expect(await listed()).not.toContain('0197b000');
    await page.getByRole('button', { name: 'Keep Private on the server too' }).click();
    await expect.poll(listed).toContain('0197b000');
    await guest.close();
  });
});

describe('a reader', () => {
  it('reads what keepers write, is offered nothing to write, and would be refused', async () => {
    const guest = await joined(await invitation('reader'), 'Rui');
    const { page } = guest;
    await page.goto(sheet);
    await page.getByText('You are a reader of this tank').waitFor();
    expect(await page.getByRole('link', { name: 'Bench' }).count()).toBe(0);
    expect(await page.getByRole('link', { name: 'Write something down' }).count()).toBe(0);
    expect(await page.getByRole('button', { name: /^Write down/ }).count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Strike something out' }).count()).toBe(0);
    await page.goto(`${sheet}/bench`);
    await page.getByRole('heading', { name: 'Only keepers write at the bench of Gully' }).waitFor();
    const status = await page.evaluate(async (tank) => {
      const entry = { id: '0197b000-0000-7000-8000-0000000000f9', tank, at: '2026-03-01T09:00:00Z' };
      const body = JSON.stringify({ entries: [{ ...entry, kind: 'note', body: { text: 'no' } }] });
      const headers = { 'Content-Type': 'application/json' };
      return (await fetch(`/api/tanks/${tank}/entries`, { method: 'POST', headers, body })).status;
    }, sheet.split('/').at(-1));
    expect(status).toBe(403);
    await page.goto(`${sheet}/crew`);
    await page.getByText('Rui (you)').waitFor();
    expect(await page.getByRole('button', { name: 'Make a link' }).count()).toBe(0);
    await guest.close();
  });
});

describe('a mentor', () => {
  it('remarks and proposes; the keeper accepts, and the journal tells who wrote what', async () => {
    const guest = await joined(await invitation('mentor'), 'Marta');
    const { page } = guest;
    await page.goto(sheet);
    await page.getByText('Remark or propose').click();
    await page.getByLabel('Remark', { exact: true }).fill('Nicely cleared.');
    await page.getByRole('button', { name: 'Write the remark' }).click();
    await page.getByText('The remark stands in the journal.').waitFor();
    await page.getByLabel('an order for the keepers').check();
    await page.getByLabel('In one plain sentence').fill('Test nitrite, diluted one in five.');
    await page.getByRole('button', { name: 'Propose it' }).click();
    await page
      .getByText('It waits for a keeper')
      .or(page.getByText('it waits for a keeper'))
      .first()
      .waitFor();

    await keeper.page.goto(sheet);
    await keeper.page.getByRole('button', { name: 'Accept: Test nitrite, diluted one in five.' }).click();
    await keeper.page.getByText('Accepted: it stands in the journal.').waitFor();
    const diary = keeper.page.locator('.diary');
    await diary.getByText('Test nitrite, diluted one in five.').waitFor();
    await diary.getByText('remark by Marta').waitFor();
    await guest.close();
  });
});

describe('an order proposed', () => {
  it('is declined by a keeper: it goes, and no word of it stands in the journal', async () => {
    const guest = await joined(await invitation('mentor'), 'Joana');
    const { page } = guest;
    await page.goto(sheet);
    await page.getByText('Remark or propose').click();
    await page.getByLabel('an order for the keepers').check();
    await page.getByLabel('In one plain sentence').fill('Put in six more snails.');
    await page.getByRole('button', { name: 'Propose it' }).click();
    await page.getByText('Proposed: a keeper can accept it.').waitFor();

    await keeper.page.goto(sheet);
    await keeper.page.getByRole('button', { name: 'Decline: Put in six more snails.' }).click();
    await keeper.page.getByText('Declined.').waitFor();
    expect(await keeper.page.getByText('Put in six more snails.').count()).toBe(0);
    await page.reload();
    await page.getByText('Remark or propose').waitFor();
    await inStep(page);
    expect(await page.getByText('Put in six more snails.').count()).toBe(0);
    const decided = await page.evaluate(async (tank) => {
      const answer = await fetch(`/api/tanks/${tank}/proposals`);
      return (await answer.json()) as { order: { say: string }; decision: string }[];
    }, sheet.split('/').at(-1));
    expect(decided.find(({ order }) => order.say.includes('snails'))?.decision).toBe('declined');
    await guest.close();
  });
});

describe('someone invited', () => {
  it('with an account already accepts with it, and gives the part up again', async () => {
    const guest = await joined(await invitation('reader'), 'Sofia');
    const link = await invitation('keeper');
    const { page } = guest;
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.goto(link);
    await page.getByRole('button', { name: 'Accept as Sofia' }).click();
    await page.getByRole('link', { name: 'Write something down' }).waitFor();
    await page.goto(link);
    await page.getByRole('heading', { name: 'This invitation has ended' }).waitFor();
    await page.goto(`${sheet}/crew`);
    await page.getByText('Give up my part').click();
    await page.getByText('only an invitation gives you a part again').waitFor();
    await page.getByRole('button', { name: 'Give it up' }).click();
    await page.getByText('You have no part in this tank any more').waitFor();
    await guest.close();
  });

  it('finds the link ended once a keeper has withdrawn it', async () => {
    const link = await invitation('mentor');
    const { page } = keeper;
    const status = () =>
      page.evaluate(
        async (secret) => (await fetch(`/api/invitations/${secret}`)).status,
        link.split('/').at(-1),
      );
    // The last to end is the one just made.
    await page
      .getByLabel(/^Withdraw the invitation of a mentor/)
      .last()
      .click();
    await page.getByText('Its link then lets nobody in').last().waitFor();
    expect(await status()).toBe(200);
    await page.getByRole('button', { name: 'Withdraw it' }).click();
    await page.getByText('The invitation is withdrawn.').waitFor();
    expect(await status()).not.toBe(200);
  });

  it('is taken the part away by a keeper', async () => {
    const guest = await joined(await invitation('reader'), 'Tiago');
    const { page } = keeper;
    await page.goto(`${sheet}/crew`);
    await page.getByLabel('Take the part away: Tiago').click();
    await page.getByRole('button', { name: 'Take it away' }).click();
    await page.getByText('Tiago has no part any more').waitFor();
    await guest.close();
  });
});

describe('what the server refuses', () => {
  it('of a keeper who became a reader meanwhile stays on the device, and is told of', async () => {
    const guest = await joined(await invitation('keeper'), 'Lia');
    const { page, context } = guest;
    await inStep(page);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await page.goto(`${sheet}/bench`);
    await page.getByText('Note', { exact: true }).click();
    await page.getByLabel('What happened').fill('written in the cellar');
    await page.getByRole('button', { name: 'Write it down: note' }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    await keeper.page.goto(`${sheet}/crew`);
    await keeper.page.getByLabel('Part of Lia', { exact: true }).selectOption('reader');
    await keeper.page.getByText('Lia is reader now.').waitFor();
    await context.setOffline(false);
    await page.getByText('The server did not take 1 entry of Gully: your part there is to read.').waitFor();
    await page.goto(sheet);
    await page.locator('.diary').getByText('written in the cellar').waitFor();
    await keeper.page.goto(sheet);
    await inStep(keeper.page);
    expect(await keeper.page.locator('.diary').getByText('written in the cellar').count()).toBe(0);
    await guest.close();
  });

  it('because it is signed by someone else holds nothing else up', async () => {
    const guest = await joined(await invitation('keeper'), 'Gil');
    const { page } = guest;
    await inStep(page);
    const ines = await keeper.page.evaluate(
      async () => (await (await fetch('/api/here')).json()).person.account,
    );
    const note = (id: string, by: object) =>
      JSON.stringify({
        id,
        tank: sheet.split('/').at(-1),
        at: '2026-03-01T09:00:00Z',
        ...by,
        kind: 'note',
        body: { text: id },
      });
    const [theirs, own] = ['0197e000-0000-7000-8000-0000000000c1', '0197e000-0000-7000-8000-0000000000c2'];
    await workshop(page);
    await page.getByLabel('Journal file').setInputFiles({
      name: 'signed.ndjson',
      mimeType: 'application/x-ndjson',
      buffer: Buffer.from(['{"journal":1}', note(theirs, { by: ines }), note(own, {})].join('\n')),
    });
    await page.getByText('The server did not take 1 entry of Gully').waitFor();
    await keeper.page.goto(sheet);
    await keeper.page.locator('.diary').getByText(own).waitFor();
    expect(await keeper.page.locator('.diary').getByText(theirs).count()).toBe(0);
    await guest.close();
  });
});

describe('an account', () => {
  it('lists where its owner is signed in; one of them, or all others, are signed out from there', async () => {
    const guest = await joined(await invitation('reader'), 'Sara');
    const elsewhere = [await visit(), await visit({ width: 1280 })];
    for (const one of elsewhere) {
      await signedIn(one, 'Sara');
      await inStep(one.page);
    }
    const { page } = guest;
    await workshop(page);
    await page.getByText('Where you are signed in').click();
    await page.getByText('A computer: this one').waitFor();
    const ends = page.getByLabel('Sign out: A computer');
    expect(await ends.count()).toBe(2);
    const statuses = () =>
      Promise.all(elsewhere.map((one) => one.page.evaluate(async () => (await fetch('/api/self')).status)));
    // Last used first: the second of the two.
    await ends.first().click();
    await page.getByText('until someone signs in there again').first().waitFor();
    expect(await statuses()).toEqual([200, 200]);
    await page.getByRole('button', { name: 'Sign it out' }).click();
    await page.getByText('It is signed out.').waitFor();
    expect(await ends.count()).toBe(1);
    await expect.poll(async () => (await statuses()).sort()).toEqual([200, 401]);

    for (const one of elsewhere) await signedIn(one, 'Sara');
    await page.reload();
    await page.getByText('Where you are signed in').click();
    await page.getByText('Sign out all but this one').click();
    expect(await statuses()).toEqual([200, 200]);
    await page.getByRole('button', { name: 'Sign them out' }).click();
    await page.getByText('All others are signed out.').waitFor();
    expect(await statuses()).toEqual([401, 401]);
    expect(await page.evaluate(async () => (await fetch('/api/self')).status)).toBe(200);
    for (const one of [guest, ...elsewhere]) await one.close();
  });

  it('is taken away in two files: the journals, and what is kept about its owner', async () => {
    const guest = await joined(await invitation('reader'), 'Rosa');
    const { page } = guest;
    await workshop(page);
    await page.getByText('Everything you wrote', { exact: true }).click();
    const taken = async (name: string) => {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('link', { name }).click(),
      ]);
      return readFileSync(await download.path(), 'utf8');
    };
    const [head, ...lines] = (await taken('The journals')).trim().split('\n');
    expect(JSON.parse(head ?? '')).toMatchObject({ journal: 1 });
    expect(lines.map((line) => JSON.parse(line).body.name)).toContain('Gully');
    const account = JSON.parse(await taken('Your account'));
    expect(account).toMatchObject({ name: 'Rosa', hasPassword: true, tanks: [{ role: 'reader' }] });
    expect(JSON.stringify(account)).not.toContain(PASSWORD);
    await guest.close();
  });

  it('is closed after a plain warning and its owner’s name, and lets nobody in any more', async () => {
    const guest = await joined(await invitation('reader'), 'Vera');
    const { page } = guest;
    await workshop(page);
    await page.getByText('Close the account', { exact: true }).click();
    await page.getByText('cannot be brought back').waitFor();
    await page.getByLabel('Write your name to confirm').fill('Vera');
    await page.getByRole('button', { name: 'Close my account for good' }).click();
    await page.getByText('This is a shared server.').first().waitFor();
    await page.goto(`${server.address}/sign-in`);
    await page.getByLabel('Name', { exact: true }).fill('Vera');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Use the password' }).click();
    await page.getByText('do not fit. Write both once more').waitFor();
    await page.getByText('ask a keeper of the tank for a new invitation').waitFor();
    await guest.close();
  });
});

describe('the places of the crew', () => {
  beforeAll(async () => {
    const elsewhere = await visit();
    await signedIn(elsewhere, 'Ines');
    await elsewhere.close();
  });

  it.each([
    { width: 390, colorScheme: 'light' },
    { width: 390, colorScheme: 'dark' },
    { width: 1280, colorScheme: 'light' },
    { width: 1280, colorScheme: 'dark' },
  ] as const)('can be used by everyone at $width px in the $colorScheme', async (look) => {
    const { page } = keeper;
    await page.setViewportSize({ width: look.width, height: 844 });
    await page.emulateMedia({ colorScheme: look.colorScheme });
    const link = await invitation('mentor');
    const found: string[] = [];
    const places = [
      ['crew', `${sheet}/crew`],
      ['account', `${server.address}/workshop`],
      ['sign-in', `${server.address}/sign-in`],
      ['join', link],
    ] as const;
    for (const [name, path] of places) {
      await page.goto(path);
      await page.waitForSelector('h1');
      if (name === 'crew')
        await page
          .getByLabel(/^Withdraw the invitation/)
          .last()
          .click();
      if (name === 'account') {
        await page.getByLabel(/^Forget the passkey made/).waitFor({ state: 'attached' });
        for (const summary of await page.locator('.opens > summary').all()) await summary.click();
        await page.getByLabel(/^Sign out: /).click();
      }
      await page.evaluate(() => document.fonts.ready);
      for (const broken of await rulesBroken(page)) found.push(`${name}: ${broken}`);
      await page.screenshot({ path: screen(`${name}-${look.width}-${look.colorScheme}`), fullPage: true });
    }
    expect(found).toEqual([]);
  });

  it('are walked through with the keys alone', async () => {
    const { page } = keeper;
    await page.setViewportSize({ width: 1280, height: 844 });
    await page.goto(`${sheet}/crew`);
    // The form rests while the open invitations are asked for.
    await page.getByText('Not taken up yet').waitFor();
    await page.getByRole('button', { name: 'Make a link', disabled: false }).waitFor();
    await page.getByLabel('As', { exact: true }).focus();
    await page.keyboard.type('mentor');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.getByText('For one person, once').waitFor();
    await page.keyboard.press('Tab');
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).value)).toContain('/join/');
  });
});
