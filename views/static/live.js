// Only adds: a page of work that goes on shows what another phone wrote down, and its clock goes on. A reload does the same.
{
  const POLL_MS = 20_000
  const TICK_MS = 5_000
  const main = document.getElementById('main')
  const { serverNow, setClock, show } = globalThis.atThePot

  const two = (large, unit, small, smaller) =>
    small === 0 ? `${large} ${unit}` : `${large} ${unit} ${small} ${smaller}`
  /** As the server writes a lapse of time. */
  function lapse(minutes) {
    const whole = Math.round(minutes)
    if (whole === 0) return minutes === 0 ? '0 min' : 'under a minute'
    if (whole < 60) return `${whole} min`
    if (whole < 24 * 60) return two(Math.floor(whole / 60), 'h', whole % 60, 'min')
    const hours = Math.round(minutes / 60)
    const days = Math.floor(hours / 24)
    return two(days, days === 1 ? 'day' : 'days', days < 7 ? hours % 24 : 0, 'h')
  }

  function tick() {
    for (const clock of document.querySelectorAll('.clock[data-since]')) {
      const minutesTo = at => (Date.parse(at) - serverNow()) / 60_000
      clock.querySelector('[data-had]').textContent = lapse(Math.max(0, -minutesTo(clock.dataset.since)))
      if (!clock.dataset.due) continue
      const left = minutesTo(clock.dataset.due)
      const last = minutesTo(clock.dataset.last)
      clock.querySelector('[data-to-go-words]').textContent =
        left > 0 ? 'Left' : last > 0 ? 'May stand on for' : 'Over by'
      clock.querySelector('[data-to-go]').textContent = lapse(left > 0 ? left : Math.abs(last))
      clock.classList.toggle('late', last <= 0)
    }
  }
  setInterval(tick, TICK_MS)
  tick()

  // What has changed is put in only while nothing is typed, pressed or sent: it must not move under a finger.
  let touching = false
  for (const [what, is] of [
    ['pointerdown', true],
    ['pointerup', false],
    ['pointercancel', false],
  ])
    document.addEventListener(what, () => {
      touching = is
    })
  const isTyped = field =>
    field.matches('[type=radio], [type=checkbox]')
      ? field.checked !== field.defaultChecked
      : field.value !== field.defaultValue
  const isBusy = () =>
    touching ||
    document.querySelector('form[data-sent], main .trouble') !== null ||
    document.activeElement?.matches('main textarea, main input, main select') ||
    [...main.querySelectorAll('input:not([type=hidden]), textarea')].some(isTyped)

  const notice = document.createElement('p')
  notice.className = 'changed-since no-print'
  notice.setAttribute('role', 'status')
  notice.hidden = true
  main.before(notice)
  const tellOf = (words, linkWords, to) => {
    const link = document.createElement('a')
    link.textContent = linkWords
    link.href = to
    notice.replaceChildren(`${words} `, link)
    notice.hidden = false
  }

  const summaryOf = details => details.querySelector('summary')?.textContent.trim()
  function putIn(fresh) {
    const unfolded = new Set([...main.querySelectorAll('details[open]')].map(summaryOf))
    const spot = document.activeElement?.id
    const down = scrollY
    for (const details of fresh.querySelectorAll('details')) if (unfolded.has(summaryOf(details))) details.open = true
    main.replaceChildren(...main.querySelectorAll(':scope > .said'), ...document.adoptNode(fresh).childNodes)
    Object.assign(main.dataset, { asOf: fresh.dataset.asOf, now: fresh.dataset.now })
    setClock(fresh.dataset.now)
    scrollTo(scrollX, down)
    if (spot) document.getElementById(spot)?.focus({ preventScroll: true })
    show()
    tick()
  }

  let looking = false
  let again = false
  function look() {
    again = looking
    if (looking || document.hidden) return
    // A press from here is on its way: the page goes on by itself, or looks again when the press had to wait.
    if (document.querySelector('form[data-sent]')) {
      setTimeout(look, 2_000)
      return
    }
    if (isBusy()) {
      tellOf(
        'Something was written down since this page was opened.',
        'Look again',
        location.pathname + location.search,
      )
      setTimeout(() => notice.hidden || isBusy() || look(), 2_000)
      return
    }
    looking = true
    const request = new XMLHttpRequest()
    request.open('GET', location.href)
    request.responseType = 'document'
    request.setRequestHeader('x-by-script', 'yes')
    request.addEventListener('load', () => {
      const fresh = request.response?.getElementById('main')
      if (new URL(request.responseURL).pathname === '/sign-in')
        tellOf(
          'Nobody is signed in here any more.',
          'Sign in',
          `/sign-in?next=${encodeURIComponent(location.pathname)}`,
        )
      else if (request.status === 200 && fresh?.dataset.asOf && !isBusy()) {
        notice.hidden = true
        document.title = request.response.title
        putIn(fresh)
      }
    })
    request.addEventListener('loadend', () => {
      looking = false
      if (again) look()
    })
    request.send()
  }

  let stream
  let polling
  function listen() {
    if (stream || document.hidden || !('EventSource' in globalThis)) return
    stream = new EventSource('/now/changes')
    stream.addEventListener('changed', ({ data }) => {
      clearInterval(polling)
      document.dispatchEvent(new Event('line-is-back'))
      if (data !== main.dataset.asOf) look()
    })
    stream.addEventListener('error', () => {
      if (stream?.readyState !== EventSource.CLOSED) return
      // Too many pages are open, or nobody is signed in: then it is asked now and then.
      clearInterval(polling)
      polling = setInterval(look, POLL_MS)
    })
  }
  function stopListening() {
    stream?.close()
    stream = undefined
    clearInterval(polling)
  }
  document.addEventListener('visibilitychange', () => (document.hidden ? stopListening() : listen()))
  addEventListener('pagehide', stopListening)
  addEventListener('pageshow', listen)
  document.addEventListener('counted', look)
}
