/** What is due, where it is seen without opening the page: a calendar, a sheet of paper, a message. */
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { rulesBroken, screen, startServer, type TestServer, type Visit, visit } from './support.ts';

let server: TestServer;
let here: Visit;
let page: Page;

beforeAll(async () => {
  server = await startServer({ sends: true, reckons: true });
});
afterAll(() => server.stop());
beforeEach(async () => {
  here = await visit();
  page = here.page;
  await page.goto(`${server.address}/workshop`);
  await page.getByRole('heading', { name: 'Calendar, digest, messages' }).waitFor();
});
afterEach(() => here.close());

const messages = async () => {
  await page.getByText('Messages and quiet hours').click();
  await page.getByRole('button', { name: 'Keep these hours', disabled: false }).waitFor();
};

describe('the calendar', () => {
  it('has a secret address that anyone who has it can read, until it is ended', async () => {
    await page.getByRole('button', { name: 'Make a calendar address' }).click();
    const address = await page.getByLabel('Calendar address').inputValue();
    expect(address).toMatch(/\/calendar\/[\w-]{43}$/);
    const read = await fetch(address);
    expect(read.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    expect(await read.text()).toMatch(/^BEGIN:VCALENDAR\r\n/);

    await page.getByRole('button', { name: 'Make a calendar address' }).click();
    await expect.poll(() => page.getByLabel('Calendar address').inputValue()).not.toBe(address);
    const second = await page.getByLabel('Calendar address').inputValue();
    expect([(await fetch(address)).status, (await fetch(second)).status]).toEqual([404, 200]);

    await here.context.grantPermissions(['clipboard-read', 'clipboard-write']);
    await page.getByRole('button', { name: 'Copy it' }).click();
    await page.getByText('Copied.').waitFor();
    expect(await page.evaluate(() => navigator.clipboard.readText())).toBe(second);

    await page.getByRole('button', { name: 'End the address' }).click();
    await page.getByText('The address has ended.').waitFor();
    expect(await page.getByLabel('Calendar address').count()).toBe(0);
    expect((await fetch(second)).status).toBe(404);
  });
});

describe('the digest', () => {
  it('opens as a page of its own, by the clock of the reader, and names every tank', async () => {
    await page.goto(`${server.address}/new`);
    await page.getByLabel('Name', { exact: true }).fill('Gully');
    await page.getByRole('button', { name: 'Open the tank' }).click();
    await page.getByRole('heading', { name: /Gully/ }).waitFor();
    await page.getByText('nothing waits').first().waitFor();
    await page.goto(`${server.address}/workshop`);
    const [digest] = await Promise.all([
      here.context.waitForEvent('page'),
      page.getByRole('link', { name: 'What is due today, as a page to print' }).click(),
    ]);
    // It is reckoned for the first time while the page is looked at.
    await expect
      .poll(
        async () => {
          await digest.reload();
          return digest.getByRole('heading', { level: 2 }).allTextContents();
        },
        { timeout: 30_000 },
      )
      .toEqual(['Gully']);
    await digest.getByText('Times are those of Europe/Lisbon.').waitFor();
    for (const [width, colorScheme] of [
      [390, 'light'],
      [390, 'dark'],
      [1280, 'light'],
      [1280, 'dark'],
    ] as const) {
      await digest.setViewportSize({ width, height: 844 });
      await digest.emulateMedia({ colorScheme });
      expect(await rulesBroken(digest)).toEqual([]);
      await digest.screenshot({ path: screen(`digest-${width}-${colorScheme}`), fullPage: true });
    }
  });
});

describe('messages to a device', () => {
  it('are not offered where the server sends none, which is said', async () => {
    const silent = await startServer();
    await page.goto(`${silent.address}/workshop`);
    await page.getByText('Messages and quiet hours').click();
    await page.getByText('This server sends no messages.').waitFor();
    expect(await page.getByRole('button', { name: 'Tell this device' }).count()).toBe(0);
    expect(await page.getByText('Quiet hours', { exact: true }).count()).toBe(0);
    await silent.stop();
  });

  it('need the leave of whoever owns it: where it is refused, the remedy is told', async () => {
    await messages();
    await page.getByRole('button', { name: 'Tell this device what is due' }).click();
    await page.getByText('The browser does not let this page send messages').waitFor();
    await page.getByRole('button', { name: 'Tell this device what is due', disabled: false }).waitFor();
  });

  it('need a service that brings them: where there is none, that is said, and nobody is told', async () => {
    await here.context.grantPermissions(['notifications'], { origin: server.address });
    await page.clock.install();
    await page.reload();
    await messages();
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.getByRole('button', { name: 'Tell this device what is due' }).click();
    // Nothing answers here: the page gives up by its own clock.
    await expect.poll(() => page.getByRole('button', { name: 'Tell this device' }).isDisabled()).toBe(true);
    await page.clock.runFor(30_000);
    await page.getByText('The browser could not reach the service its messages come by.').waitFor();
    expect(await page.evaluate(async () => (await fetch('/api/push/subscriptions')).json())).toEqual([]);
  });

  it('are shown beside each other where they tell of different orders of one tank', async () => {
    await here.context.grantPermissions(['notifications'], { origin: server.address });
    const session = await here.context.newCDPSession(page);
    const registered = new Promise<string>((resolve) => {
      session.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
        const own = registrations.find(({ scopeURL }) => scopeURL.startsWith(server.address));
        if (own !== undefined) resolve(own.registrationId);
      });
    });
    await session.send('ServiceWorker.enable');
    await page.evaluate(() => navigator.serviceWorker.ready);
    const registrationId = await registered;
    const shown = () =>
      page.evaluate(async () => {
        const shown = await (await navigator.serviceWorker.ready).getNotifications();
        return shown.map(({ body, data }) => [body, data] as const).sort();
      });
    const deliver = (body: string, tag: string) =>
      session.send('ServiceWorker.deliverPushMessage', {
        origin: server.address,
        registrationId,
        data: JSON.stringify({ title: 'Gully', body, path: '/tank/1', tag }),
      });
    // What is handed over while the worker is still waking is lost: it is handed over again, and takes its own place.
    const told = (body: string, tag: string, bodies: readonly string[]) =>
      expect
        .poll(
          async () => {
            await deliver(body, tag);
            return shown();
          },
          { interval: 500 },
        )
        .toEqual(bodies.map((each) => [each, '/tank/1']));
    await told('Test ammonia today.', 'one', ['Test ammonia today.']);
    await told('Change 20 L of water today.', 'two', ['Change 20 L of water today.', 'Test ammonia today.']);
    await told('Test ammonia now.', 'one', ['Change 20 L of water today.', 'Test ammonia now.']);
  });
});

describe('quiet hours of one’s own', () => {
  it('are set by the clock of a place, kept for every device, and dropped again', async () => {
    await messages();
    await page.getByText('You have said nothing of your own').waitFor();
    expect(await page.getByLabel('By the clock of').inputValue()).toBe('Europe/Lisbon');
    await page.getByLabel('From', { exact: true }).fill('22:30');
    await page.getByLabel('Until', { exact: true }).fill('06:15');
    await page.getByLabel('By the clock of').selectOption('Pacific/Auckland');
    await page.getByRole('button', { name: 'Keep these hours' }).click();
    await page.getByText('You are told nothing from 22:30 to 06:15, Pacific/Auckland.').waitFor();
    for (const broken of await rulesBroken(page)) expect(broken).toBeUndefined();

    const other = await visit();
    await other.page.goto(`${server.address}/workshop`);
    await other.page.getByText('Messages and quiet hours').click();
    await other.page.getByText('You are told nothing from 22:30 to 06:15, Pacific/Auckland.').waitFor();
    await other.page.getByRole('button', { name: 'Go by each tank’s instead' }).click();
    await other.page.getByText('Those of each tank count again.').waitFor();
    await other.page.getByText('You have said nothing of your own').waitFor();
    await other.close();
  });
});
