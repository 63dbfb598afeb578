// Only adds: the button says how many bundles go, and follows the ticks. Without it, what is ticked goes.
{
  const button = document.querySelector('button[value="close"]')
  const { form } = button
  const withoutNumber = button.textContent
  const isTicked = name => form.elements.namedItem(name)?.checked === true

  /** Of a lot that is ticked, each ready bundle that neither stays nor is not found; ready ones can be tied up again. */
  const goes = ({ name }) => {
    const [lot, n] = name.replace('.tiedAgain', '').split('.bundles.')
    const bundle = `${lot}.bundles.${n}`
    return isTicked(`${lot}.goes`) && !isTicked(`${bundle}.stays`) && !isTicked(`${bundle}.missing`)
  }
  const count = () => {
    const going = [...form.querySelectorAll('[name$=".tiedAgain"]')].filter(goes).length
    button.textContent = going === 0 ? withoutNumber : `Hand back ${going} ${going === 1 ? 'bundle' : 'bundles'}`
  }
  form.addEventListener('change', count)
  // A browser that comes back to the page puts the ticks back first.
  addEventListener('pageshow', count)
}
