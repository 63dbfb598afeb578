// Only adds: while tags are scanned one below the other, each is ticked at once, and one that does not belong here is said.
const BETWEEN = /[\s\-\u2010-\u2015._·]+/g

for (const field of document.querySelectorAll('[data-scans]')) {
  const { form } = field
  const said = document.createElement('p')
  said.setAttribute('role', 'status')
  said.className = 'scanned'
  field.after(said)

  const codeIn = line => (/\/t\/([^/?#]*)/i.exec(line)?.[1] ?? line).replace(BETWEEN, '').toUpperCase()
  const tickOf = code => form.querySelector(`input[data-tag="${CSS.escape(code)}"]`)
  /** A bundle whose tag was scanned goes, and so does its lot, whatever was unticked before. */
  const tickWithLot = tick => {
    const lot = form.elements.namedItem(tick.name.replace(/\.bundles\..*/, '.goes'))
    if (tick.checked && lot.checked) return
    tick.checked = lot.checked = true
    tick.dispatchEvent(new Event('change', { bubbles: true }))
  }
  const linesIn = () => field.value.split(/[\n,;]/).filter(line => line.trim() !== '')

  const look = () => {
    const codes = [...new Set(linesIn().map(codeIn))]
    const ticks = codes.map(tickOf)
    for (const tick of ticks) if (tick) tickWithLot(tick)
    const strange = codes.filter((_, at) => !ticks[at])
    const known = `${codes.length - strange.length} of ${form.querySelectorAll('input[data-tag]').length} scanned.`
    said.textContent = strange.length === 0 ? known : `${known} Not a tag of this commission: ${strange.join(', ')}`
    said.classList.toggle('strange', strange.length > 0)
  }
  // A line counts once it has ended, as a scanner ends it; whatever stands there when the field is left counts too.
  field.addEventListener('input', () => {
    if (field.value.endsWith('\n')) look()
  })
  form.addEventListener('change', look)
  if (field.value.trim() !== '') look()
}
