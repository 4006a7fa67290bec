// What the theme's bundle expects before it runs; the theme carries this inline, which the content policy forbids.
__md_scope = new URL(document.currentScript.dataset.base, location);
__md_hash = (text) => [...text].reduce((hash, letter) => (hash << 5) - hash + letter.charCodeAt(0), 0);
__md_get = (key, storage = localStorage, scope = __md_scope) => JSON.parse(storage.getItem(scope.pathname + "." + key));
__md_set = (key, value, storage = localStorage, scope = __md_scope) => {
  try { storage.setItem(scope.pathname + "." + key, JSON.stringify(value)); } catch (error) { /* private window */ }
};
