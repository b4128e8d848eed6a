// Runs a lesson when its page is open, so that no learner has to know how, and leaves the width of
// a phone to it. It is read by JupyterLab as it is, in the shape of a built extension: nothing to
// compile, nothing to fetch.
(() => {
  let shared;

  const take = async name => {
    const version = Object.values(shared[name])[0];
    return (await version.get())();
  };

  // Only what this computer has signed runs by itself: the kit's own lessons, and what was run and
  // saved here. A notebook from elsewhere waits until it is asked.
  const isTrusted = notebook =>
    notebook.widgets.every(cell => cell.model.type !== 'code' || cell.model.trusted);

  const run = async (panel, NotebookActions) => {
    await panel.revealed;
    await panel.sessionContext.ready;
    const notebook = panel.content;
    if (panel.isDisposed || !isTrusted(notebook)) return;
    const at = notebook.activeCellIndex;
    await NotebookActions.runCells(notebook, notebook.widgets, panel.sessionContext);
    if (!panel.isDisposed) notebook.activeCellIndex = at;
  };

  // The strip at the left takes a tenth of a phone; the menu View opens what it has, too.
  const narrow = matchMedia('(max-width: 600px)');

  const makeRoom = shell => {
    if (narrow.matches) shell.collapseLeft();
    if (shell.isSideTabBarVisible('left') === narrow.matches) shell.toggleSideTabBarVisibility('left');
  };

  const plugin = (tracker, NotebookActions) => ({
    id: 'kitchenkit-ready:lessons',
    description: 'Runs a lesson once it is open, and gives it the width of a phone.',
    autoStart: true,
    requires: [tracker],
    activate: (app, notebooks) => {
      app.restored.then(() => {
        makeRoom(app.shell);
        narrow.addEventListener('change', () => makeRoom(app.shell));
      });
      notebooks.widgetAdded.connect((_, panel) => {
        run(panel, NotebookActions).catch(error => console.warn('The lesson did not run:', error));
      });
    },
  });

  globalThis._JUPYTERLAB ??= {};
  globalThis._JUPYTERLAB['kitchenkit-ready'] = {
    init: scope => { shared = scope; },
    get: async () => {
      const { INotebookTracker, NotebookActions } = await take('@jupyterlab/notebook');
      return () => ({ __esModule: true, default: plugin(INotebookTracker, NotebookActions) });
    },
  };
})();
