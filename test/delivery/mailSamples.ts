// Mails as they arrive, written by hand (RFC 5322, MIME): each test takes a good one and spoils one thing.

export const SERVER = 'mx.example.net'
export const TO = 'abcdefghijklmnopqrstuvwxyz@in.example.net'
export const ENVELOPE = { from: 'ada@example.org', to: TO }
export const RULES = { authServer: SERVER, ownAddresses: ['reminders@holdbell.example.net'] }

// As our receiving server writes it: seen in the wild, with the domains changed.
export const PASSED = [
  `Authentication-Results: ${SERVER};`,
  '\tdkim=pass header.d=example.org header.s=s2026 header.b=L6CZ3OJ0;',
  '\tdmarc=pass header.from=example.org policy.dmarc=none;',
  `\tspf=none (${SERVER}: no SPF records found for postmaster@out.example.org) smtp.helo=out.example.org;`,
  `\tspf=pass (${SERVER}: domain of ada@example.org designates 192.0.2.1 as permitted sender) smtp.mailfrom=ada@example.org;`,
  '\tarc=pass smtp.remote-ip="192.0.2.1"',
].join('\r\n')

export type Parts = {
  readonly results?: string
  readonly from?: string
  readonly subject?: string
  readonly headers?: readonly string[]
  readonly type?: string
  readonly body?: string
}

/** A proven mail from Ada that says "58", with `parts` in place of its own. */
export function mail({ results, from, subject, headers, type, body }: Parts = {}): string {
  return [
    'Received: from out.example.org (192.0.2.1) by mx.example.net; Thu, 14 Jan 2027 20:14:00 +0000',
    results ?? PASSED,
    'Received: by out.example.org; Thu, 14 Jan 2027 20:13:58 +0000',
    from ?? 'From: Ada <Ada@Example.org>',
    `To: ${TO}`,
    `Subject: ${subject ?? 'Re: Hold by 16:28'}`,
    'Date: Thu, 14 Jan 2027 16:13:50 -0400',
    'Message-ID: <m1@example.org>',
    'MIME-Version: 1.0',
    `Content-Type: ${type ?? 'text/plain; charset=utf-8'}`,
    ...(headers ?? []),
    '',
    ...(body ?? '58').split(/\r?\n/),
  ]
    .filter((line) => line !== 'absent')
    .join('\r\n')
}

export const multipart = (kind: string, ...parts: readonly (readonly string[])[]): Parts => ({
  type: `multipart/${kind}; boundary="b1"`,
  body: [...parts.flatMap((part) => ['--b1', ...part]), '--b1--', ''].join('\n'),
})
