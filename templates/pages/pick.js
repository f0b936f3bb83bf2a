// Offers the browser's calendar beside a field for a day. What is chosen there is written into the field as
// the page's language writes days; the field alone is sent. Without this script it is typed.
(() => {
  'use strict';
  const write = (tag, iso) => {
    const [day, time = ''] = iso.split('T');
    const written = new Intl.DateTimeFormat(tag, {
      dateStyle: 'medium',
      timeZone: 'UTC',
      calendar: 'gregory',
      numberingSystem: 'latn',
    }).format(new Date(`${day}T00:00:00Z`));
    return time === '' ? written : `${written} ${time.slice(0, 5)}`;
  };

  const open = (button) => {
    const field = document.getElementById(button.dataset.for);
    if (!field) return;
    const calendar = document.createElement('input');
    calendar.type = button.dataset.pick === 'moment' ? 'datetime-local' : 'date';
    calendar.className = 'calendar';
    calendar.tabIndex = -1;
    calendar.setAttribute('aria-hidden', 'true');
    calendar.value = field.value === field.defaultValue ? button.dataset.begin : '';
    button.parentElement.querySelector('.calendar')?.remove();
    button.after(calendar);
    calendar.addEventListener('change', () => {
      if (calendar.value !== '') field.value = write(button.dataset.tag, calendar.value);
      if (calendar.type === 'date') field.focus();
    });
    try {
      calendar.showPicker();
    } catch {
      button.hidden = true;
    }
  };

  if (!('showPicker' in HTMLInputElement.prototype)) return;
  document.documentElement.classList.add('picks');
  document.addEventListener('click', (event) => {
    const button = event.target.closest?.('button[data-pick]');
    if (button) open(button);
  });
})();
