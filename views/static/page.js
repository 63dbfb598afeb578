// Only adds: every page works without it.
const trouble = document.getElementById('trouble')
if (trouble) trouble.focus()

// A second press while the first is on its way is not sent; the server would answer it the same way in any case.
document.addEventListener('submit', event => {
  const form = event.target
  if (form.method !== 'post') return
  if (form.dataset.sent) event.preventDefault()
  form.dataset.sent = 'yes'
})
addEventListener('pageshow', () => {
  for (const form of document.forms) delete form.dataset.sent
})
