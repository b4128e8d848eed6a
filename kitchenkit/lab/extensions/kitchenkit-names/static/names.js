// What a screen reader needs and the widgets leave out: a name for each slider and for each panel,
// and places that are listened to before anything is said in them. Lessons in the editor and as
// pages load it alike, in the shape of a built extension: nothing to compile, nothing to fetch.
(() => {
  let count = 0;

  const idOf = element => (element.id ||= `kk-name-${++count}`);

  const nameSlider = handle => {
    const slider = handle.closest('.widget-inline-hbox');
    const label = slider?.querySelector('.widget-label');
    if (!label) return;
    handle.setAttribute('aria-labelledby', idOf(label));
    const readout = slider.querySelector('.widget-readout');
    if (!readout) return;
    readout.setAttribute('role', 'textbox'); // a number may be typed over it
    readout.setAttribute('aria-labelledby', idOf(label));
  };

  const namePanel = panel => {
    const title = panel.querySelector('.kk-title, .kk-say');
    if (!title) return;
    panel.setAttribute('role', 'group');
    panel.setAttribute('aria-label', title.textContent);
  };

  // A message that comes with its own role may go unheard, since nothing was there to listen to.
  // So the role is kept one level up, where it stays while messages come and go.
  const listen = place => {
    const told = [...place.querySelectorAll('[role=status], [role=alert]')];
    const urgent = told.some(one => one.getAttribute('role') === 'alert');
    for (const one of told) one.removeAttribute('role');
    const isNews = told.length || !place.firstChild || !place.hasAttribute('role');
    if (isNews) place.setAttribute('role', urgent ? 'alert' : 'status');
  };

  const all = (root, what) => [
    ...(root.matches(what) ? [root] : []),
    ...root.querySelectorAll(what),
  ];

  const mend = root => {
    all(root, '.kk-panel.jupyter-widgets:not([role])').forEach(namePanel);
    all(root, '.kk-panel .noUi-handle:not([aria-labelledby])').forEach(nameSlider);
    all(root, '.kk-panel .kk-live > .widget-html-content').forEach(listen);
  };

  const watch = () => {
    mend(document.body);
    // A part may be put in its place before it is given its classes.
    new MutationObserver(records => {
      for (const { target, addedNodes } of records) {
        if (target.closest('.kk-panel')) mend(target);
        else for (const node of addedNodes) if (node.nodeType === Node.ELEMENT_NODE) mend(node);
      }
    }).observe(document.body, {
      attributeFilter: ['class'],
      childList: true,
      subtree: true,
    });
  };

  globalThis._JUPYTERLAB ??= {};
  globalThis._JUPYTERLAB['kitchenkit-names'] = {
    init: () => {},
    get: async () => () => ({
      __esModule: true,
      default: {
        id: 'kitchenkit-names:panels',
        description: 'Names sliders and panels for screen readers.',
        autoStart: true,
        activate: watch,
      },
    }),
  };
})();
