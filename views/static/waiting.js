// Only adds: without it, a press that did not get through is sent again by the browser, and its key counts it once.
// A press on a form with `data-kept` is kept on the phone until the workshop's computer has answered it: what was pressed,
// when, and the form's one-time key; no names. Presses about one thing (`data-load`, or `data-of`: its page) are sent in
// their order. What is refused stays, and holds back what comes after it, until somebody sends it again or drops it.
{
  const SHELF = 'tie-waiting:'
  const AHEAD = 'tie-ahead'
  const PATIENCE_MS = 8_000
  const TRY_AGAIN_MS = 4_000
  const main = document.getElementById('main')

  /** How far the workshop's clock is ahead of the phone's, told by a page that was fetched just now. */
  const setClock = now => {
    if (now) sessionStorage.setItem(AHEAD, String(Date.parse(now) - Date.now()))
  }
  const serverNow = () => Date.now() + Number(sessionStorage.getItem(AHEAD) ?? 0)
  const [arrival] = performance.getEntriesByType('navigation')
  if (arrival === undefined || arrival.transferSize > 0) setClock(main.dataset.now)

  // Each press has a place of its own: another page of this phone sees late what this one writes, and two pages that wrote
  // one list would now and then lose a press of the other's. Sent twice, a press counts once.
  const keep = press => localStorage.setItem(SHELF + press.key, JSON.stringify(press))
  const drop = key => localStorage.removeItem(SHELF + key)
  const waiting = () =>
    Object.keys(localStorage)
      .filter(name => name.startsWith(SHELF))
      .map(name => JSON.parse(localStorage.getItem(name)))
      .filter(Boolean)
      .sort((one, other) => one.place - other.place || Date.parse(one.at) - Date.parse(other.at))
  function change(key, more) {
    const press = waiting().find(press => press.key === key)
    if (press) keep({ ...press, ...more })
  }
  const newKey = () =>
    [...crypto.getRandomValues(new Uint8Array(16))].map(n => n.toString(16).padStart(2, '0')).join('')

  const clockOf = at =>
    new Date(at).toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit', timeZone: main.dataset.zone })

  const pageOf = load => `/loads/${load}/now`
  /** Kinds of which each counts the version of its load up by one. */
  const COUNTED = new Set(['step', 'note', 'rinse', 'added', 'undo'])
  /** Kinds that are pressed once: the form is out of the way while its press waits. */
  const ONCE = ['step', 'weighed', 'cloth']

  /** The press that waits and that this page shows again. */
  const shownAgain = presses => presses.find(press => press.key === main.dataset.sentKey)

  /** What a field says, in a few words: the chosen line of a list, codes in a row. */
  function saidBy(form, typed, name) {
    const field = form.elements.namedItem(name)
    const words = field instanceof HTMLSelectElement ? field.selectedOptions[0]?.text : typed.get(name)
    const short = (words ?? '').trim().split('\n').join(', ').slice(0, 80)
    return name.endsWith('.words') && short !== '' ? `“${short}”` : short
  }

  function pressOf(form, button) {
    const typed = new Map([...new FormData(form, button)].filter(([, value]) => typeof value === 'string'))
    const { load, kind, kept, says = '' } = form.dataset
    const of = form.dataset.of ?? pageOf(load)
    const presses = waiting()
    const again = shownAgain(presses)
    // A new press goes behind those that wait, or in the place of the one that is shown again.
    const place = again?.place ?? (presses.at(-1)?.place ?? 0) + 1
    const before = presses.filter(press => press.of === of && press.place < place)
    // Those that wait in front of this one will have counted the version up.
    const ahead = before.filter(press => COUNTED.has(press.kind)).length
    if (typed.has('version')) typed.set('version', String(Number(typed.get('version')) + ahead))
    // What is written down happened when it was first pressed; a step begins with the press that begins it.
    const isSame = again?.kind === kind && kind !== 'step' && kind !== 'undo'
    const at = isSame ? again.at : new Date(serverNow()).toISOString()
    const said = says.split(' ').map(name => saidBy(form, typed, name))
    return {
      key: typed.get('key'),
      to: form.getAttribute('action'),
      typed: [...typed, ['pressedAt', at]],
      words: [kept, ...said].filter(Boolean).join(' '),
      of,
      kind,
      at,
      place,
      isFirst: before.length === 0,
    }
  }

  function keepNew(press) {
    const again = shownAgain(waiting())
    if (again) drop(again.key)
    keep(press)
    delete main.dataset.sentKey
  }

  /** The server's answer to a form: undefined when none came in time. */
  function answerTo({ to, typed }) {
    return new Promise(resolve => {
      const request = new XMLHttpRequest()
      request.open('POST', to)
      request.responseType = 'document'
      request.timeout = PATIENCE_MS
      request.setRequestHeader('accept', 'text/html')
      request.setRequestHeader('x-by-script', 'yes')
      request.addEventListener('load', () => resolve(request))
      for (const trouble of ['error', 'abort', 'timeout']) request.addEventListener(trouble, () => resolve(undefined))
      request.send(new URLSearchParams(typed))
    })
  }

  /** What became of a press: counted, refused with a page that says why, or not answered yet. */
  async function send(press) {
    const answer = await answerTo(press)
    if (answer === undefined || answer.status >= 500 || answer.status === 429) return { noLine: true }
    if (answer.status === 401) return { signedOut: true }
    if (answer.status < 300) return { counted: true, to: answer.getResponseHeader('location') }
    const page = answer.response
    const why = [...(page?.querySelectorAll('#trouble li, h1 + p') ?? [])].map(line => line.textContent)
    return { refused: why.join(' ') || 'It was not accepted.', page }
  }

  /** Another page of this phone is sending it. A page that went away in the middle says so, or its time runs out. */
  const isOnItsWay = ({ sentAt = 0 }) => Math.abs(Date.now() - sentAt) < PATIENCE_MS + TRY_AGAIN_MS

  /** The first that may be sent: nothing about the same thing is refused, or on its way, in front of it. */
  function nextOf(presses) {
    const held = new Set()
    for (const press of presses) {
      if (press.refused || isOnItsWay(press)) held.add(press.of)
      else if (!held.has(press.of)) return press
    }
    return undefined
  }

  let sending = false
  let onItsWay
  let signedOut = false
  /** Sends what waits, in order, until the line fails. `justNow` is the press whose form is still before us. */
  async function sendAll(justNow) {
    if (sending) return
    sending = true
    const slow = setTimeout(show, 700)
    let sent
    try {
      for (let press = nextOf(waiting()); press; press = nextOf(waiting())) {
        onItsWay = press.key
        change(press.key, { sentAt: Date.now() })
        const answer = await send(press)
        letGo()
        signedOut = answer.signedOut === true
        if (answer.counted) {
          drop(press.key)
          sent = answer
        } else if (answer.refused) {
          if (press.key === justNow?.key && press.isFirst && putIn(answer.page)) return drop(press.key)
          change(press.key, { refused: answer.refused })
        } else break
      }
    } finally {
      clearTimeout(slow)
      sending = false
      show()
    }
    const here = justNow && !waiting().some(press => press.key === justNow.key)
    if (here && sent) location.assign(sent.to)
    else {
      if (justNow) goOn(justNow)
      if (sent) document.dispatchEvent(new Event('counted'))
    }
  }

  function letGo() {
    if (onItsWay) change(onItsWay, { sentAt: 0 })
    onItsWay = undefined
  }
  addEventListener('pagehide', letGo)

  /** Refused while its page is open: the page that came back takes its place, with what was typed and what is wrong. */
  function putIn(page) {
    const fresh = page?.getElementById('main')
    if (!fresh) return false
    document.title = page.title
    for (const name of Object.keys(main.dataset)) delete main.dataset[name]
    Object.assign(main.dataset, fresh.dataset)
    main.replaceChildren(...document.adoptNode(fresh).childNodes)
    setClock(main.dataset.now)
    document.getElementById('trouble')?.focus()
    return true
  }

  /** The page can be pressed on: each press has a key of its own. */
  function goOn({ form }) {
    delete form.dataset.sent
    form.elements.namedItem('key').value = newKey()
    for (const field of form.querySelectorAll('textarea, input:not([type=hidden])')) field.value = field.defaultValue
  }

  document.addEventListener('submit', event => {
    const { target: form, submitter: button } = event
    if (event.defaultPrevented || !form.dataset.kept) return
    const press = pressOf(form, button)
    try {
      keepNew(press)
    } catch {
      return // The phone keeps nothing: the browser sends it as it always did.
    }
    event.preventDefault()
    if (sending) {
      goOn({ form })
      show()
    } else sendAll({ form, button, key: press.key }).catch(show)
  })

  const made = (name, words = '', className = '') => {
    const part = document.createElement(name)
    part.textContent = words
    if (className) part.className = className
    return part
  }
  const linked = (words, to) => {
    const link = made('a', words, 'button')
    link.href = to
    return link
  }

  const board = made('aside', '', 'waiting no-print')
  board.setAttribute('role', 'region')
  board.setAttribute('aria-label', 'Waiting to be sent')
  const said = made('p')
  said.setAttribute('role', 'status')
  const list = made('ol')
  const ask = made('p')
  board.append(said, list, ask)
  board.hidden = true
  document.body.append(board)

  function lineOf(press) {
    const line = made('li')
    line.append(made('strong', press.words), ` at ${clockOf(press.at)}`)
    if (!press.refused) return line
    line.className = 'refused'
    const isShown = press.key === main.dataset.sentKey
    const again = made('button', 'Send it again')
    again.type = 'button'
    again.addEventListener('click', () => showAgain(press))
    const away = made('button', 'Drop it')
    away.type = 'button'
    away.addEventListener('click', () => {
      drop(press.key)
      show()
      sendAll().catch(show)
    })
    if (isShown) line.append(': this page shows it. Send it from here, or ', away)
    else line.append(made('p', press.refused), again, away)
    return line
  }

  /**
   * Sent by the browser itself, a refused press opens its page as things stand now, with what was typed and what is wrong.
   * It waits on until it is sent from there, or dropped: looking alone loses nothing.
   */
  function showAgain(press) {
    const form = made('form')
    form.method = 'post'
    form.action = press.to
    for (const [name, value] of press.typed) {
      const field = made('input')
      Object.assign(field, { type: 'hidden', name, value })
      form.append(field)
    }
    document.body.append(form)
    form.submit()
  }

  /** Which presses wait, and, in place of a step's button that was pressed already, that it was. */
  function show() {
    const presses = waiting()
    const refused = presses.filter(press => press.refused).length
    board.hidden = presses.length === 0
    document.body.classList.toggle('has-waiting', presses.length > 0)
    const open = presses.length - refused
    const words = [
      open > 0 ? `${sending ? 'Being sent' : 'Waiting to be sent'} (${open}).` : '',
      refused > 0 ? `Not done (${refused}): send it again, or drop it.` : '',
      signedOut ? 'Nobody is signed in here: it is sent after signing in.' : '',
    ]
    const sentence = words.filter(Boolean).join(' ')
    if (said.textContent !== sentence) said.textContent = sentence
    list.replaceChildren(...presses.map(lineOf))
    ask.replaceChildren(
      ...(signedOut ? [linked('Sign in', `/sign-in?next=${encodeURIComponent(location.pathname)}`)] : []),
    )
    const lastOf = (of, kind) => presses.filter(press => press.of === of && (!kind || press.kind === kind)).at(-1)
    for (const place of document.querySelectorAll('[data-waits-for]')) {
      const { waitsFor, waitsKind = 'step' } = place.dataset
      const last = lastOf(waitsFor.startsWith('/') ? waitsFor : pageOf(waitsFor), waitsKind)
      place.hidden = !last
      place.textContent = last
        ? `Pressed at ${clockOf(last.at)}, ${last.refused ? 'not done, see below' : 'not sent yet'}: ${last.words}`
        : ''
    }
    // One that was refused and is looked at again can be pressed again.
    for (const kind of ONCE)
      for (const form of document.querySelectorAll(`form[data-kind=${kind}]`)) {
        const last = lastOf(form.dataset.of ?? pageOf(form.dataset.load), kind)
        form.hidden = last !== undefined && last.key !== main.dataset.sentKey
      }
    for (const form of document.querySelectorAll('form[data-kind=undo]')) {
      const last = lastOf(pageOf(form.dataset.load))
      const button = form.querySelector('button')
      button.dataset.words ??= button.textContent
      const back = last?.kind === 'undo' ? 'Undo one more' : `Undo: ${last?.words}`
      button.textContent = last ? back : button.dataset.words
    }
  }

  globalThis.atThePot = { serverNow, setClock, show }
  for (const [where, what] of [
    [globalThis, 'online'],
    [globalThis, 'pageshow'],
    [document, 'visibilitychange'],
    [document, 'line-is-back'],
  ])
    where.addEventListener(what, () => document.hidden || sendAll())
  addEventListener('storage', show)
  setInterval(() => waiting().length > 0 && !document.hidden && sendAll(), TRY_AGAIN_MS)
  show()
}
