// Only adds: a new workshop is offered the time zone of the browser it is set up with. Without it, the zone is typed.
{
  const field = document.getElementById('timeZone')
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions()
  // A machine that was never told where it stands says UTC: then it is asked.
  if (field.value === '' && !/^(Etc\/|UTC$|GMT$)/.test(timeZone)) field.value = timeZone
}
