// Step cards beyond what their links do alone: the card on the screen is named and kept, arrows of the keyboard turn the
// cards over, and a turn moves the cards without moving the page.

const still = matchMedia("(prefers-reduced-motion: reduce)");

/** One deck of cards. */
function deck(box) {
  const list = box.querySelector(".fw-cards");
  const cards = [...list.children];
  const key = `card ${location.pathname} ${cards[0].id}`;
  const status = document.createElement("p");
  status.setAttribute("role", "status");
  status.className = "fw-heard";
  box.append(status);
  let now = -1;

  /** The card on the screen is this one; `aloud` after a turn, not at the start. */
  function at(index, aloud = true) {
    if (index === now || !cards[index]) return;
    cards[now]?.removeAttribute("aria-current");
    now = index;
    cards[now].setAttribute("aria-current", "step");
    try { sessionStorage.setItem(key, cards[now].id); } catch { /* closed: the place is not kept */ }
    if (aloud) status.textContent = [".fw-card-where", ".fw-card-head"].map((name) => cards[now].querySelector(name).innerText).join(", ");
  }

  /** Turn to a card; the page moves only where the top of the cards is out of sight. */
  function turn(index, smooth = true) {
    if (!cards[index]) return;
    const behavior = smooth && !still.matches ? "smooth" : "instant";
    list.scrollTo({ left: cards[index].offsetLeft - list.offsetLeft, behavior });
    const { top } = list.getBoundingClientRect();
    if (top < 0 || top > innerHeight / 2) cards[index].scrollIntoView({ block: "start", inline: "start", behavior });
    at(index);
  }

  const index = (hash) => cards.findIndex((card) => `#${card.id}` === hash);
  box.addEventListener("click", (event) => {
    const link = event.target.closest(".fw-card-nav a");
    if (!link) return;
    event.preventDefault();
    const next = index(link.hash);
    history.replaceState(null, "", link.hash);
    turn(next);
    // the thumb stays where it was: the button of the same name on the new card
    const links = [...cards[next].querySelectorAll(".fw-card-nav a")];
    (links.find((one) => one.textContent === link.textContent) ?? links[0]).focus({ preventScroll: true });
  });
  list.addEventListener("keydown", (event) => {
    const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (!by || event.altKey || event.ctrlKey || event.metaKey || !cards[now + by]) return;
    event.preventDefault();
    turn(now + by);
    const links = cards[now].querySelectorAll(".fw-card-nav a");
    links[by > 0 ? links.length - 1 : 0]?.focus({ preventScroll: true });
  });

  let kept = null;
  try { kept = sessionStorage.getItem(key); } catch { /* nothing kept */ }
  const start = Math.max(0, index(location.hash || `#${kept}`));
  if (start && !location.hash) list.scrollTo({ left: cards[start].offsetLeft - list.offsetLeft, behavior: "instant" });
  at(start, false);
  const watch = new IntersectionObserver((seen) => {
    const inside = seen.find((one) => one.isIntersecting);
    if (inside && list.scrollWidth > list.clientWidth) at(cards.indexOf(inside.target));
  }, { root: list, threshold: 0.6 });
  cards.forEach((card) => watch.observe(card));
}

document.querySelectorAll(".fw-deck").forEach(deck);
