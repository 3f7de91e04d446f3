/**
 * The page's only program: one slider (or a finger on any vial) sets the time for all vials, curves and the camera's picture.
 * Plain script text, because a report must open from an attachment with nothing beside it.
 */
export const script = `
(() => {
  const data = JSON.parse(document.getElementById('data').textContent);
  const root = document.documentElement;
  const slider = document.getElementById('time');
  const said = document.getElementById('time-said');
  const atSaid = document.getElementById('at-said');
  const stillSaid = document.getElementById('still-said');
  const outlines = document.querySelector('.still svg g');
  const stills = [...document.querySelectorAll('.still img')];
  const nows = [...document.querySelectorAll('.vial .now')];
  // The time is set on each cursor, not on the page: restyling thousands of points at every step would stutter.
  const cursors = [...document.querySelectorAll('.cursor')];
  root.classList.add('js');
  const duration = (seconds) => {
    const minutes = Math.round(seconds / 60);
    if (seconds < 59.5) return Math.round(seconds) + ' s';
    if (minutes < 60) return minutes + ' min';
    return Math.floor(minutes / 60) + ' h ' + String(minutes % 60).padStart(2, '0') + ' min';
  };
  let waiting = false;
  const show = () => {
    waiting = false;
    const part = Number(slider.value) / data.toS;
    const step = Math.round(part * (data.steps - 1));
    const words = duration(part * data.toS);
    for (const cursor of cursors) cursor.style.setProperty('--at', part);
    said.textContent = words;
    atSaid.textContent = words;
    slider.setAttribute('aria-valuetext', words);
    nows.forEach((now, vial) => {
      const { extent, colour } = data.vials[vial];
      now.textContent = extent[step] === null ? '–' : extent[step].toFixed(2).replace('-', '−');
      now.style.setProperty('--seen', colour[step] === null ? 'none' : '#' + colour[step]);
    });
    const at = data.addedRunS + part * data.toS;
    let nearest = null;
    for (const still of stills) {
      const gap = Math.abs(Number(still.dataset.runS) - at);
      if (nearest === null || gap < nearest.gap) nearest = { still, gap };
    }
    for (const still of stills) still.hidden = still !== nearest.still;
    if (nearest !== null) {
      stillSaid.textContent = duration(Number(nearest.still.dataset.runS));
      // A nudged camera: the outlines go where the vials went.
      outlines.setAttribute('transform', nearest.still.dataset.moved ?? '');
    }
  };
  const ask = () => {
    if (!waiting) requestAnimationFrame(show);
    waiting = true;
  };
  slider.addEventListener('input', ask);
  document.querySelector('.rack').addEventListener('pointermove', (event) => {
    const glass = event.target.closest('.glass');
    if (glass === null) return;
    const box = glass.getBoundingClientRect();
    const part = Math.min(1, Math.max(0, (event.clientX - box.left) / box.width));
    slider.value = String(part * data.toS);
    ask();
  });
  show();
})();
`;
