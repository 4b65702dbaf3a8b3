// Elements made by script. No text from outside is ever read as HTML.

const SVG = "http://www.w3.org/2000/svg";

// An element with attributes, handlers under `on`, and children; null and false are left out.
export function el(tag, given = {}, ...children) {
  return fill(document.createElement(tag), given, children);
}

// The same for a drawing.
export function svg(tag, given = {}, ...children) {
  return fill(document.createElementNS(SVG, tag), given, children);
}

function fill(node, { on = {}, ...attributes }, children) {
  for (const [name, value] of Object.entries(attributes)) put(node, name, value);
  for (const [name, handler] of Object.entries(on)) node.addEventListener(name, handler);
  node.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

// Sets an attribute, or takes it away where the value is null or false. What is there already is left alone, so that nothing
// is drawn or read aloud anew.
export function put(node, name, value) {
  if (value === null || value === undefined || value === false) return node.removeAttribute(name);
  const text = value === true ? "" : String(value);
  if (node.getAttribute(name) !== text) node.setAttribute(name, text);
}

export function say(node, words) {
  if (node.textContent !== words) node.textContent = words;
}

// Puts nodes in a host in place of those that are there. What is alike stays, so that only the rest is drawn anew.
export function renew(host, nodes) {
  nodes.forEach((node, i) => {
    const there = host.children[i];
    if (!there) host.append(node);
    else if (!there.isEqualNode(node)) there.replaceWith(node);
  });
  while (host.children.length > nodes.length) host.lastElementChild.remove();
}

let count = 0;
// An id that nothing else on the page has.
export const fresh = (word) => `${word}-${(count += 1)}`;
