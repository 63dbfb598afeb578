// A field to sign in: strokes become path data of whole numbers in a hidden input. Without this, slips are signed on paper.
const FARTHEST_X = 600
const FARTHEST_Y = 200
/** Shorter steps of the finger are not written down, and a very long signature ends. */
const SHORTEST_STEP = 3
const MOST_CHARACTERS = 19_000

for (const box of document.querySelectorAll('[data-signing]')) {
  const form = box.closest('form')
  const field = box.querySelector('svg')
  const line = field.querySelector('path')
  const input = form.elements.namedItem('signature')
  const answers = form.querySelectorAll('[name="acknowledged"]')
  let last = null

  const show = () => line.setAttribute('d', input.value)
  const showBox = () => {
    box.hidden = ![...answers].some(answer => answer.checked && answer.value === 'on the screen')
  }
  const placeOf = ({ clientX, clientY }) => {
    const { left, top, width, height } = field.getBoundingClientRect()
    const within = (share, farthest) => Math.round(Math.min(1, Math.max(0, share)) * farthest)
    return { x: within((clientX - left) / width, FARTHEST_X), y: within((clientY - top) / height, FARTHEST_Y) }
  }
  const write = (letter, { x, y }) => {
    if (input.value.length > MOST_CHARACTERS) return
    input.value += `${letter}${x} ${y}`
    last = { x, y }
    show()
  }

  field.addEventListener('pointerdown', event => {
    event.preventDefault()
    field.setPointerCapture(event.pointerId)
    write('M', placeOf(event))
  })
  field.addEventListener('pointermove', event => {
    if (last === null) return
    const place = placeOf(event)
    if (Math.hypot(place.x - last.x, place.y - last.y) >= SHORTEST_STEP) write('L', place)
  })
  for (const end of ['pointerup', 'pointercancel']) {
    field.addEventListener(end, () => {
      last = null
    })
  }
  box.querySelector('[data-clear]').addEventListener('click', () => {
    input.value = ''
    show()
  })
  for (const answer of answers) answer.addEventListener('change', showBox)
  showBox()
  show()
}
