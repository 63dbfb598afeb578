import supertest from 'supertest'
import { describe, expect, test } from 'vitest'
import { bareApp, browserOf, PASSPHRASE, testApp } from '../helper.js'

const CODE = 'a1b2c3d4-00000000-00000000-00000000'
const setUp = {
  code: CODE,
  name: 'Wren',
  workshopName: 'The Weir Shed',
  weightUnit: 'metric',
  volumeUnit: 'metric',
  slipPaper: 'A5',
  timeZone: 'Europe/Lisbon',
  passphrase: PASSPHRASE,
}
const cookieOf = (answer: supertest.Response): string =>
  String([answer.headers['set-cookie'] ?? []].flat().find(line => /^(__Host-)?tie=/.test(line)) ?? '')

describe('set-up', () => {
  test('is the only page before it is done, and asks for the code', async () => {
    const { app } = await bareApp()
    const stranger = browserOf(app)
    expect((await stranger.get('/')).headers.location).toBe('/set-up')
    expect((await stranger.get('/clients')).headers.location).toBe('/set-up')
    const wrong = await stranger.post('/set-up', { ...setUp, code: 'ffffffff-00000000-00000000-00000000' })
    expect(wrong.status).toBe(422)
    expect(wrong.text).toContain('not the set-up code')
    expect(wrong.text).not.toContain(PASSPHRASE)
    expect((await stranger.post('/set-up', setUp)).status).toBe(303)
  })

  test('says everything that is wrong at once', async () => {
    const { app } = await bareApp()
    const wrong = await browserOf(app).post('/set-up', {
      ...setUp,
      code: 'no',
      name: '',
      timeZone: 'Lisbon',
      passphrase: 'x',
    })
    expect(wrong.status).toBe(422)
    for (const field of ['code', 'name', 'timeZone', 'passphrase']) expect(wrong.text).toContain(`href="#${field}"`)
    expect(wrong.text).toContain('<option value="Europe/Lisbon">')
  })

  test('a script that is not signed in is told so, and is led nowhere', async () => {
    const { app } = await bareApp()
    for (const url of ['/', '/lots/1', '/reckon']) {
      const answer = await browserOf(app).json(url)
      expect([answer.status, answer.headers.location]).toEqual([401, undefined])
      expect(answer.body).toEqual({ sentence: expect.stringContaining('Nobody is signed in') })
    }
  })

  test('works once', async () => {
    const { app } = await bareApp()
    await browserOf(app).post('/set-up', setUp)
    const again = await browserOf(app).post('/set-up', { ...setUp, name: 'Somebody else' })
    expect(again.headers.location).toBe('/sign-in')
  })

  test.each(['short', 'password', 'password1', 'iloveyou', 'sunshine', '1234567890'])(
    'refuses the passphrase %s',
    async weak => {
      const { app } = await bareApp()
      const answer = await browserOf(app).post('/set-up', { ...setUp, passphrase: weak })
      expect(answer.status).toBe(422)
      expect(answer.text).toContain('Passphrase:')
    },
  )

  test.each(['8 chars!', `${'x'.repeat(64)}y`, 'a long one with an ending space ', '🪢🪢🪢🪢🪢🪢🪢🪢'])(
    'takes %s exactly as typed',
    async passphrase => {
      const { app } = await bareApp()
      const stranger = browserOf(app)
      expect((await stranger.post('/set-up', { ...setUp, passphrase })).status).toBe(303)
      expect((await stranger.post('/sign-in', { passphrase: `${passphrase}.` })).status).toBe(422)
      expect((await stranger.post('/sign-in', { passphrase })).status).toBe(303)
    },
  )
})

describe('signing in', () => {
  test('keeps a salted slow hash and only the hash of the session', async () => {
    const { app, raw } = await bareApp()
    const answer = await browserOf(app).post('/set-up', setUp)
    const token = /tie=([^;]+)/.exec(cookieOf(answer))?.[1] ?? 'none'
    const [hash] = raw.prepare('select passphrase_hash from worker').pluck().all() as string[]
    // OWASP Password Storage Cheat Sheet: scrypt N=2^17, r=8, p=1.
    expect(hash).toMatch(/^scrypt\$131072\$8\$1\$/)
    expect(Buffer.from(token, 'base64url').length).toBeGreaterThanOrEqual(16)
    expect(raw.prepare('select token_hash from session').pluck().all()).not.toContain(token)
  })

  test('guessing is slowed, and the right passphrase still works within half a minute', async () => {
    const { app, clock } = await bareApp()
    const stranger = browserOf(app)
    await stranger.post('/set-up', setUp)
    const tries = []
    for (let n = 0; n < 6; n += 1) tries.push((await stranger.post('/sign-in', { passphrase: `guess ${n}` })).status)
    expect(tries.slice(0, 4)).toEqual([422, 422, 422, 422])
    expect(tries.slice(4)).toEqual([429, 429])
    clock.at = new Date(Date.parse(clock.at) + 30_000).toISOString()
    expect((await stranger.post('/sign-in', { passphrase: PASSPHRASE })).status).toBe(303)
  })

  test('signing out ends the session on the server', async () => {
    const { app } = await bareApp()
    const cookie = cookieOf(await browserOf(app).post('/set-up', setUp)).split(';')[0] ?? ''
    const browser = browserOf(app, cookie)
    expect((await browser.get('/clients')).status).toBe(200)
    await browser.post('/sign-out', {})
    expect((await browser.get('/clients')).status).toBe(303)
  })

  test('a session ends after a week without a visit', async () => {
    const site = await testApp()
    site.clock.at = '2026-03-09T08:59:00.000Z'
    expect((await site.browser.get('/clients')).status).toBe(200)
    site.clock.at = '2026-03-16T09:00:00.000Z'
    expect((await site.browser.get('/clients')).status).toBe(303)
  })

  test('what was typed after the sign-in ran out comes back to be sent', async () => {
    const { app } = await bareApp()
    const stranger = browserOf(app)
    await stranger.post('/set-up', setUp)
    const lost = await stranger.post('/clients/new', {
      name: 'Ida Fell',
      contact: 'by the lock',
      note: 'three long pages',
    })
    expect(lost.status).toBe(401)
    const held = /name="held" value="([^"]*)"/.exec(lost.text)?.[1]?.replaceAll('&quot;', '"') ?? ''
    const back = await stranger.post('/sign-in', { passphrase: PASSPHRASE, held })
    expect(back.status).toBe(200)
    expect(back.text).toContain('three long pages')
    expect(back.text).toContain('action="/clients/new"')
  })

  test.each(['//elsewhere.example', '/\\elsewhere', 'https:elsewhere', 'javascript:alert(1)'])(
    'never leads to %s',
    async next => {
      const { app } = await bareApp()
      const stranger = browserOf(app)
      await stranger.post('/set-up', setUp)
      expect((await stranger.post('/sign-in', { passphrase: PASSPHRASE, next })).headers.location).toBe('/')
    },
  )
})

describe('cookies', () => {
  test.each([
    ['loopback', /^tie=[^;]+; Max-Age=\d+; Path=\/; HttpOnly; SameSite=Lax$/, undefined],
    ['plain', /^tie=[^;]+; Max-Age=\d+; Path=\/; HttpOnly; SameSite=Lax$/, undefined],
    ['proxy', /^__Host-tie=[^;]+; Max-Age=\d+; Path=\/; HttpOnly; Secure; SameSite=Lax$/, 'max-age=31536000'],
  ] as const)('%s', async (transport, shape, hsts) => {
    const { app } = await bareApp(transport)
    const answer = await browserOf(app).post('/set-up', setUp)
    expect(cookieOf(answer)).toMatch(shape)
    expect(answer.headers['strict-transport-security']).toBe(hsts)
  })

  test('plain http on a network is said on every page', async () => {
    const site = await testApp('plain')
    expect((await site.browser.get('/clients')).text).toContain('can overhear the passphrase')
  })
})

describe('requests of other sites', () => {
  const own = 'http://127.0.0.1'
  test.each([
    [{ 'sec-fetch-site': 'cross-site' }, 403],
    [{ 'sec-fetch-site': 'same-site' }, 403],
    [{ 'sec-fetch-site': 'cross-site', origin: own }, 403],
    [{ origin: 'http://elsewhere.example' }, 403],
    [{ origin: 'null' }, 403],
    [{}, 403],
    [{ origin: own }, 422],
    [{ 'sec-fetch-site': 'same-origin' }, 422],
    [{ 'sec-fetch-site': 'none' }, 422],
  ] as const)('%j gets %i', async (headers, status) => {
    const site = await testApp()
    const answer = await supertest(site.app.server)
      .post('/clients/new')
      .set({ cookie: site.cookie, host: '127.0.0.1', accept: 'text/html', ...headers })
      .type('form')
      .send({ name: '' })
    expect(answer.status).toBe(status)
  })

  test('a form sent as plain text is refused', async () => {
    const site = await testApp()
    const answer = await supertest(site.app.server)
      .post('/clients/new')
      .set({ cookie: site.cookie, 'sec-fetch-site': 'same-origin', 'content-type': 'text/csv' })
      .send('name=x')
    expect(answer.status).toBe(415)
  })
})

describe('headers', () => {
  test.each(['/clients', '/clients/99', '/sign-in', '/no-such-page', '/healthz'])('%s', async url => {
    const { browser } = await testApp()
    const { headers } = await browser.get(url)
    expect(headers['content-security-policy']).toContain("default-src 'none'")
    expect(headers['content-security-policy']).toContain("frame-ancestors 'none'")
    expect(headers['content-security-policy']).not.toContain('unsafe')
    expect(headers['x-content-type-options']).toBe('nosniff')
    expect(headers['referrer-policy']).toBe('same-origin')
    expect(headers['content-type']).toContain('charset=utf-8')
  })

  test('another method on a known address answers 405 and what it takes', async () => {
    const site = await testApp()
    const answer = await supertest(site.app.server)
      .put('/clients')
      .set({ cookie: site.cookie, 'sec-fetch-site': 'same-origin' })
    expect(answer.status).toBe(405)
    expect(answer.headers.allow).toBe('GET, HEAD')
  })
})
