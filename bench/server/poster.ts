import { connect, type Socket } from 'node:net';

export interface Poster {
  /** Posts JSON; gives the answer's text. */
  post(path: string, body: string): Promise<string>;
  close(): void;
}

/**
 * Posts over connections that stay open, and does no more than that takes. Clients share the machine with the server: the
 * nearly 100 µs of a processor that a general client takes for a small request would be missing there, while the program
 * that inserts for comparison has no such thing to do.
 */
export function newPoster(address: string): Poster {
  const { host, hostname, port } = new URL(address);
  const resting: Socket[] = [];
  const opened = (): Socket =>
    connect(Number(port), hostname)
      .setNoDelay()
      .setEncoding('latin1')
      .on('error', () => undefined);
  return {
    async post(path, body) {
      for (;;) {
        const rested = resting.pop();
        const socket = rested ?? opened();
        socket.write(
          `POST /${path} HTTP/1.1\r\nHost: ${host}\r\nContent-Type: application/json\r\n` +
            `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`,
        );
        const { status, text } = await answerOn(socket);
        // A connection that rested may be closed by the server just as it is taken up again.
        if (status === 0 && rested !== undefined) continue;
        if (status !== 200) throw new Error(text);
        resting.push(socket);
        return text;
      }
    },
    close: () => {
      for (const socket of resting) socket.destroy();
    },
  };
}

/** The next answer, whose length is told; status 0 where the connection closed without one. */
function answerOn(socket: Socket): Promise<{ status: number; text: string }> {
  return new Promise((resolve) => {
    let all = '';
    const read = (part: string): void => {
      all += part;
      const [head] = all.split('\r\n\r\n', 1) as [string];
      const text = all.slice(head.length + 4);
      if (text.length === Number(/\r\ncontent-length: (\d+)/i.exec(head)?.[1]))
        end({ status: Number(head.slice(9, 12)), text });
    };
    const closed = (): void => end({ status: 0, text: 'the connection closed' });
    const end = (answer: { status: number; text: string }): void => {
      socket.off('data', read).off('close', closed);
      resolve(answer);
    };
    socket.on('data', read).once('close', closed);
    if (socket.destroyed) closed();
  });
}
