import { day, desk } from '../core/store'
import { isDay, later, shortDay } from '../core/dates'

export function DayPicker() {
  return (
    <div class="day-picker" role="group" aria-label="which day">
      <button type="button" aria-label={`day before, ${shortDay(later(day.value, -1))}`} onClick={() => (day.value = later(day.value, -1))}>‹</button>
      <input type="date" aria-label="day" value={day.value} onChange={(event) => {
        if (isDay(event.currentTarget.value)) day.value = event.currentTarget.value
      }} />
      <button type="button" aria-label={`day after, ${shortDay(later(day.value, 1))}`} onClick={() => (day.value = later(day.value, 1))}>›</button>
      {desk.value && desk.value.on !== day.value && (
        <button type="button" class="quiet" onClick={() => (day.value = desk.value!.on)}>Today</button>
      )}
    </div>
  )
}
