// Only adds: a paper can be printed from the browser's own menu as well.
const print = document.getElementById('print')
if (print) {
  print.hidden = false
  print.addEventListener('click', () => window.print())
}
