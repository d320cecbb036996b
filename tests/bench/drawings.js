/** Seeded drawings for the benches. */

/** Numbers in [0, 1) from a seed: the minimal standard generator (Park & Miller, 1988). */
export function seeded(seed) {
  let s = seed;
  return () => {
    s = (s * 48271) % 2147483647;
    return s / 2147483647;
  };
}

/** `count` closed wavy outlines of `n` cubics each, centres within ±26 mm, as packed contours on the flat. */
export function wavyContours(count, n, seed) {
  const random = seeded(seed);
  return Array.from({ length: count }, () => {
    const points = wavy(random, (random() - 0.5) * 40, (random() - 0.5) * 40, 2 + 4 * random(), n);
    return { closed: true, points: Float64Array.from(points), straight: new Uint8Array(n) };
  });
}

/** x y of the nodes and arms of a closed wavy outline of `n` cubics. */
export function wavy(random, cx, cy, radius, n) {
  const nodes = Array.from({ length: n }, (_, k) => {
    const angle = (2 * Math.PI * k) / n;
    const r = radius * (0.8 + 0.4 * random());
    return { x: cx + r * Math.cos(angle), y: cy + r * Math.sin(angle), angle };
  });
  const arm = (2 * Math.PI * radius) / n / 3;
  const points = [nodes[0].x, nodes[0].y];
  for (let k = 0; k < n; k++) {
    const a = nodes[k];
    const b = nodes[(k + 1) % n];
    points.push(a.x - arm * Math.sin(a.angle), a.y + arm * Math.cos(a.angle));
    points.push(b.x + arm * Math.sin(b.angle), b.y - arm * Math.cos(b.angle), b.x, b.y);
  }
  return points;
}

/** An SVG of about 5 MB: 2,000 outlines of 60 curves around the places of a square grid, apart or over each other. */
export function outlinesSvg(seed, apart) {
  const random = seeded(seed);
  const side = 1000 / 45;
  const parts = [
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 1000" width="100mm" height="100mm">',
  ];
  for (let i = 0; i < 2000; i++) {
    const x = ((i % 45) + 0.5) * side;
    const y = (Math.floor(i / 45) + 0.5) * side;
    parts.push(`<path d="${pathData(wavy(random, x, y, (apart ? 0.35 : 0.7) * side, 60))}"/>`);
  }
  parts.push("</svg>\n");
  return parts.join("\n");
}

function pathData(points) {
  const p = points.map((v) => v.toFixed(2));
  let d = `M${p[0]} ${p[1]}`;
  for (let k = 2; k < p.length; k += 6) d += `C${p.slice(k, k + 6).join(" ")}`;
  return `${d}z`;
}

/** An SVG of about 5 MB: 7,810 groups of a path, a rect and a circle on a page of 100 mm. */
export function largeSvg(seed) {
  const random = seeded(seed);
  const f = (v) => v.toFixed(2);
  const parts = [
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 1000" width="100mm" height="100mm">\n',
  ];
  for (let i = 0; i < 7810; i++) {
    const x = 20 + 940 * random();
    const y = 20 + 940 * random();
    const d = pathData(wavy(random, x, y, 3 + 3 * random(), 11));
    parts.push(
      `<g id="g${i}" transform="translate(${f(4 * random())} 0)" fill="#123456"><path d="${d}"/>`,
      `<rect x="${f(x)}" y="${f(y)}" width="3" height="4"/><circle cx="${f(x)}" cy="${f(y)}" r="2"/></g>\n`,
    );
  }
  parts.push("</svg>\n");
  return parts.join("");
}
