// What is looked at inside the page: each function runs there and returns what is wrong, a line each.

// Of images: loaded, as large as they are said to be, with an alternative text (RFC: HTML standard, 4.8.3).
export function images() {
  return [...document.images].flatMap((image) => {
    const name = image.getAttribute('src');
    const faults = [];
    if (!image.complete || image.naturalWidth === 0) faults.push(`${name} does not load`);
    if (image.naturalWidth !== Number(image.getAttribute('width')) || image.naturalHeight !== Number(image.getAttribute('height')))
      faults.push(`${name} is ${image.naturalWidth} x ${image.naturalHeight}`);
    const box = image.getBoundingClientRect();
    const border = 2 * image.clientLeft;
    const stretch = (box.width - border) / (box.height - border) / (image.naturalWidth / image.naturalHeight);
    if (!(Math.abs(stretch - 1) < 0.02)) faults.push(`${name} is stretched by ${stretch}`);
    if (!image.hasAttribute('alt')) faults.push(`${name} has no alternative text`);
    return faults;
  });
}

export function links() {
  return [...document.links].map((link) => link.getAttribute('href'));
}

export function headings() {
  const faults = [];
  let before = 0;
  for (const heading of document.querySelectorAll('h1, h2, h3, h4, h5, h6')) {
    const level = Number(heading.tagName[1]);
    if (level > before + 1) faults.push(`${heading.tagName} ${heading.textContent} follows a heading of level ${before}`);
    if (!heading.textContent.trim()) faults.push('a heading without a word');
    before = level;
  }
  if (document.querySelectorAll('h1').length !== 1) faults.push('not one h1');
  return faults;
}

export function scriptless() {
  const faults = document.querySelector('script, iframe, object, embed, link, base, form') ? ['an element that is not wanted'] : [];
  for (const element of document.querySelectorAll('*')) {
    for (const { name, value } of element.attributes) {
      if (name.startsWith('on') || name === 'style') faults.push(`${element.tagName} has ${name}`);
      if (/^\s*(javascript|data|https?):/i.test(value) || value.startsWith('//')) faults.push(`${element.tagName} ${name} is ${value}`);
    }
  }
  for (const rule of [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]))
    if (/url\(|@import/.test(rule.cssText)) faults.push(rule.cssText);
  const alien = performance.getEntriesByType('resource').map((entry) => entry.name).filter((name) => !name.startsWith(new URL('.', location).href));
  return [...faults, ...alien];
}

// Nothing reaches out of the window sideways but, on a screen, tables in their boxes.
export function sideways() {
  const wide = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > wide) return [`the page is ${document.documentElement.scrollWidth} px wide in a window of ${wide}`];
  return [...document.querySelectorAll('body *')].filter((e) => !e.closest(matchMedia('print').matches ? '.skip' : '.table, .skip') && e.getBoundingClientRect().right > wide + 0.5)
    .map((e) => `${e.tagName} ${e.className} ${e.textContent.slice(0, 40)} ends at ${e.getBoundingClientRect().right} px`);
}

// The cells of the table with this caption, as they are read.
export function rows(id) {
  const table = document.getElementById(id).closest('table');
  const cells = (row) => [...row.cells].map((cell) => cell.textContent.replace(/\s/g, ' ').trim());
  return { heads: cells(table.tHead.rows[0]), rows: [...table.tBodies[0].rows].map(cells) };
}

// WCAG 2.2, relative luminance and contrast ratio; 1.4.3 wants 4.5 for text.
export function contrasts() {
  const channels = (color) => color.match(/[\d.]+/g).map(Number);
  const light = (color) => {
    const [r, g, b] = channels(color).map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const behind = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      const alpha = channels(color)[3] ?? 1;
      if (alpha === 1) return color;
      if (alpha > 0) throw new Error(`${at.tagName} is half covered`);
    }
    throw new Error('nothing is behind it');
  };
  const ratios = {};
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    if (!node.textContent.trim()) continue;
    const style = getComputedStyle(node.parentElement);
    if (Number(style.opacity) !== 1) throw new Error('text that is half there');
    const under = behind(node.parentElement);
    const [a, b] = [light(style.color), light(under)];
    ratios[`${style.color} on ${under}`] = { ratio: (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05), text: node.textContent.trim().slice(0, 30) };
  }
  return ratios;
}

// What the keyboard should come to, in this order; each gets a number to be known by.
export function reachable() {
  return [...document.querySelectorAll('a[href], [tabindex="0"]')].map((element, i) => {
    element.dataset.number = i;
    return element.textContent.trim().slice(0, 40);
  });
}

export function reached() {
  const element = document.activeElement;
  const style = getComputedStyle(element);
  const box = element.getBoundingClientRect();
  return {
    number: Number(element.dataset.number ?? -1),
    outlined: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2,
    inSight: box.right > 0 && box.left < innerWidth && box.bottom > 0 && box.top < innerHeight,
  };
}
