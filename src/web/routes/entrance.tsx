// The ways in and out: the two doors, the demo house, a household's link, and leaving.

import { Hono } from 'hono'
import { realNow } from '../../clock.ts'
import { troubleWords } from '../../words/index.ts'
import { makeDemo, rehearsalClock } from '../demo.ts'
import { DoorsPage, OpenPage, RehearsalPage } from '../pages/index.ts'
import { type Place, formOf } from '../place.ts'
import { forgetToken, formKey, keepToken, tokenIn } from '../session.ts'
import { expired } from './trouble.tsx'

export function entranceRoutes(place: Place): Hono {
  const { households, origin } = place
  return new Hono()
    .get('/', async (c) => {
      const token = tokenIn(c)
      if (token !== null && (await households.open(token)) !== null) return c.redirect('/plan', 303)
      const Doors = place.rehearse ? RehearsalPage : DoorsPage
      return c.html(<Doors csrf={formKey(c)} closed={c.req.query('closed') !== undefined} />)
    })
    .post('/demo', async (c) => {
      if ((await formOf(c)) === null) return expired(c)
      const clock = place.rehearse ? rehearsalClock(realNow()) : null
      keepToken(c, await makeDemo(households, origin, clock))
      return c.redirect('/plan', 303)
    })
    .get('/open', (c) => c.html(<OpenPage csrf={formKey(c)} />))
    .post('/open', async (c) => {
      const form = await formOf(c)
      if (form === null) return expired(c)
      // The whole link is as good as its key.
      const token = (form['key'] ?? '').trim().replace(/^.*#/, '')
      if ((await households.open(token)) === null) {
        const errors = [{ field: 'key', message: troubleWords.wrongKey }]
        return c.html(<OpenPage csrf={formKey(c)} errors={errors} />, 422)
      }
      keepToken(c, token)
      return c.redirect('/plan', 303)
    })
    .post('/leave', async (c) => {
      if ((await formOf(c)) === null) return expired(c)
      forgetToken(c)
      return c.redirect('/', 303)
    })
}
