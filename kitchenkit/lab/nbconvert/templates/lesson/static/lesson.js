// What a lesson's page does besides its panels: it says when it is still waking up, and when the
// computer that answers it has gone away.
(() => {
  const LOOK_EVERY = 20000; // milliseconds

  // Called by the server's pages while and when a lesson comes in.
  window.voila_heartbeat = () => {};
  window.voila_finish = () => { window.cellLoaded = true; };
  window.lessonIsHere = () => {
    window.voila_finish();
    // Panels take the place of these scripts one by one; a lesson with a mistake has none to wait for.
    const waiting = () => document.querySelector('script[type="application/vnd.voila.cell-output+json"]');
    const look = () => waiting() ? setTimeout(look, 100) : document.getElementById('moment').remove();
    look();
  };

  const say = words => {
    if (document.getElementById('gone')) return;
    const note = document.createElement('p');
    note.id = 'gone';
    note.className = 'lesson-note';
    note.setAttribute('role', 'alert');
    note.textContent = words;
    document.body.append(note);
  };

  const settings = () =>
    JSON.parse(document.getElementById('jupyter-config-data')?.textContent ?? '{}');

  const lookAfterPanels = async () => {
    const { baseUrl, kernelId } = settings();
    if (document.hidden || !kernelId) return;
    try {
      const answer = await fetch(`${baseUrl}api/kernels/${kernelId}`);
      if (answer.ok) document.getElementById('gone')?.remove();
      else say('The panels have gone to sleep. Load this page again to wake them.');
    } catch {
      say('The lessons were closed. Start them again, then open the address that is printed.');
    }
  };
  setInterval(lookAfterPanels, LOOK_EVERY);
  document.addEventListener('visibilitychange', lookAfterPanels);

  // Leaving a page stops its panels. Once they are up they see to it themselves.
  window.addEventListener('pagehide', () => {
    const { baseUrl, kernelId } = settings();
    if (!kernelId || !document.getElementById('moment')) return;
    const form = new FormData();
    form.append('_xsrf', document.cookie.match('\\b_xsrf=([^;]*)')?.[1] ?? '');
    navigator.sendBeacon(`${baseUrl}voila/api/shutdown/${kernelId}`, form);
  });
  // So one that a browser kept as it was must start anew.
  window.addEventListener('pageshow', event => { if (event.persisted) location.reload(); });
})();
