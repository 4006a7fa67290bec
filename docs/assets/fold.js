// Opens the folded part that an address names, so that a link from another page shows what it leads to.

function open() {
  const named = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (let part = named && named.closest("details"); part; part = part.parentElement.closest("details")) part.open = true;
  if (named) named.scrollIntoView();
}

addEventListener("hashchange", open);
open();
