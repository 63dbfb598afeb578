/** Days and times, in one place: the calendar, the clock on the wall, and reading a day that was typed. */
export { addDays, type Day, dayFrom, daysBetween, isDay, sayDay, sayLapse, weekdayOf } from './calendar.js'
export { type DayOptions, readDay } from './read-day.js'
export { clockOf, dayOf, isTimeZone, localToUtc, sayTime } from './wall-clock.js'
