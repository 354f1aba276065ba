import { join } from 'node:path'
import { cloudflareTest } from '@cloudflare/vitest-plugin'
import { defineConfig } from 'vitest/config'

// Three kinds of tests. `pure`: values in, values out, in plain Node. `zones`: what touches the local
// calendar, again under other zones of the process. `worker`: the shell, in workerd itself.
const zones = ['Pacific/Auckland', 'America/St_Johns']

// Speed is the bench's matter: a slow machine must not fail a test.
const testTimeout = 60_000

export default defineConfig({
  test: {
    root: join(import.meta.dirname, '..'),
    projects: [
      {
        test: {
          name: 'pure',
          testTimeout,
          setupFiles: ['test/seed.ts'],
          include: ['test/**/*.test.{ts,tsx}'],
          exclude: ['test/worker/**', 'test/server/**'],
          env: { TZ: 'UTC' },
        },
      },
      ...zones.map((zone) => ({
        test: {
          name: zone,
          testTimeout,
          setupFiles: ['test/seed.ts'],
          include: ['test/{announcement,chat,calendar,meter,solar}/**/*.test.ts'],
          exclude: ['**/hostile.test.ts'],
          pool: 'forks' as const,
          env: { TZ: zone },
        },
      })),
      {
        plugins: [cloudflareTest({ wrangler: { configPath: './wrangler.toml' } })],
        test: { name: 'worker', testTimeout, include: ['test/worker/**/*.test.ts'] },
      },
      {
        test: {
          name: 'server',
          include: ['test/server/**/*.test.ts'],
          testTimeout,
          hookTimeout: testTimeout,
        },
      },
    ],
  },
})
