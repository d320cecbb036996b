/**
 * The sphere under one pivot against numbers from outside the project.
 *
 * A sphere of radius R under a pivot H above its crown, focused on the crown, is the Vertical Perspective projection
 * (Snyder, USGS PP 1395, 1987, ch. 23) from height H over the placement point: P = 1 + H/R, longitude θ = a/R, latitude
 * φ = −b/R (b grows down the page), x = u, y = −v. PROJ calls it `nsper`; a pivot at infinity is the orthographic
 * projection (ch. 20), PROJ's `ortho`. Rows over another latitude are turned about the level axis across the page first.
 */
import { geoSatelliteRaw } from "d3-geo-projection";
import { describe, expect, it } from "vitest";
import { girthChart } from "../../src/vessel/chart.ts";
import { revolved } from "../../src/vessel/revolved.ts";
import { sphereOutline } from "../../src/vessel/sphere.ts";
import { Warp } from "../../src/warp/warp.ts";

const DEG = Math.PI / 180;

function sphere(radius: number, height: number): Warp {
  const outline = sphereOutline(radius);
  const head = { pivotAcross: height, pivotAlong: height, field: 1e3, belowCrown: 0 };
  return new Warp(revolved(outline, girthChart(outline, 0), 0), head);
}
const meet = (warp: Warp, lon: number, lat: number) => {
  const r = warp.surface.meridian.radius;
  const m = warp.meeting(r * lon * DEG, -r * lat * DEG);
  if (typeof m === "string") throw new Error(`${lon}, ${lat}: ${m}`);
  return m;
};
/** The farther of x and y from what was published. */
const off = (warp: Warp, lon: number, lat: number, x: number, y: number): number => {
  const { u, v } = meet(warp, lon, lat);
  return Math.max(Math.abs(u - x), Math.abs(-v - y));
};
/** Longitude and latitude of a point of the page. */
const back = (warp: Warp, x: number, y: number): readonly [lon: number, lat: number] => {
  const flat = warp.inverse({ x, y: -y });
  if (typeof flat === "string") throw new Error(`${x}, ${y}: ${flat}`);
  const r = warp.surface.meridian.radius;
  return [flat.x / r / DEG, -flat.y / r / DEG];
};
/** A point as it is seen from over latitude `lat0` on the meridian 0. */
const under = (lat0: number, lon: number, lat: number): readonly [lon: number, lat: number] => {
  const [x, y, z] = [
    Math.cos(lat * DEG) * Math.cos(lon * DEG),
    Math.cos(lat * DEG) * Math.sin(lon * DEG),
    Math.sin(lat * DEG),
  ];
  const [cos, sin] = [Math.cos(lat0 * DEG), Math.sin(lat0 * DEG)];
  const up = Math.min(1, Math.max(-1, z * cos - x * sin));
  return [Math.atan2(y, x * cos + z * sin) / DEG, Math.asin(up) / DEG];
};

/** x₀ y₀ x₁ y₁ … from longitude to longitude, by latitude. */
type Rows = Readonly<Record<number, readonly number[]>>;
/** The largest of what `error` gives for the cells of a table. */
function each(
  rows: Rows,
  east: readonly number[],
  error: (lon: number, lat: number, x: number, y: number) => number,
): number {
  let most = 0;
  for (const [lat, xy] of Object.entries(rows))
    for (let i = 0; 2 * i < xy.length; i++)
      most = Math.max(most, error(east[i]!, Number(lat), xy[2 * i]!, xy[2 * i + 1]!));
  return most;
}

// Snyder, PP 1395, table 27: equatorial aspect, R = 1, P = 6.62.
const table27: Rows = {
  80: [0, 0.8586, 0.0263, 0.8582, 0.0517, 0.8572],
  70: [
    0, 0.8412, 0.0531, 0.8405, 0.1044, 0.8385, 0.152, 0.8351, 0.1943, 0.8306, 0.2301, 0.8251, 0.2581, 0.8189,
  ],
  60: [
    0, 0.7953, 0.0796, 0.7943, 0.1563, 0.7914, 0.2271, 0.7867, 0.2896, 0.7804, 0.3418, 0.7727, 0.382, 0.7641,
    0.4094, 0.7547,
  ],
  50: [
    0, 0.7203, 0.1048, 0.7191, 0.2054, 0.7156, 0.2979, 0.71, 0.3789, 0.7026, 0.4458, 0.6936, 0.4967, 0.6835,
    0.5304, 0.6727,
  ],
  40: [
    0, 0.6171, 0.1275, 0.6159, 0.2496, 0.6123, 0.3614, 0.6065, 0.4587, 0.5988, 0.5382, 0.5895, 0.5978, 0.5792,
    0.6363, 0.5682,
  ],
  30: [
    0, 0.4884, 0.1465, 0.4872, 0.2867, 0.484, 0.4146, 0.4787, 0.5252, 0.4717, 0.6149, 0.4634, 0.6813, 0.4542,
    0.7232, 0.4444,
  ],
  20: [
    0, 0.3384, 0.161, 0.3375, 0.3148, 0.335, 0.4548, 0.3311, 0.5753, 0.3258, 0.6725, 0.3195, 0.7436, 0.3125,
    0.7879, 0.3052, 0.8055, 0.2977,
  ],
  10: [
    0, 0.1732, 0.1701, 0.1727, 0.3324, 0.1714, 0.4798, 0.1692, 0.6065, 0.1664, 0.7082, 0.163, 0.7822, 0.1593,
    0.8277, 0.1553, 0.8452, 0.1513,
  ],
  0: [0, 0, 0.1732, 0, 0.3384, 0, 0.4884, 0, 0.6171, 0, 0.7203, 0, 0.7953, 0, 0.8412, 0, 0.8586, 0],
};
it("Snyder, PP 1395, table 27 (R = 1, P = 6.62): four decimals", () => {
  const warp = sphere(1, 5.62);
  const farthest = each(table27, [0, 10, 20, 30, 40, 50, 60, 70, 80], (lon, lat, x, y) =>
    off(warp, lon, lat, x, y),
  );
  expect(farthest).toBeLessThanOrEqual(5e-5);
});

describe("PROJ's own cases, test/gie/builtins.gie, tolerance 0.1 mm on a globe in metres (1e-4)", () => {
  const near = sphere(6_400_000, 1_000_000);

  it.each([
    [2, 1, 222239.8161141, 111153.763991925],
    [2, -1, 222239.8161141, -111153.763991925],
    [-2, 1, -222239.8161141, 111153.763991925],
    [-2, -1, -222239.8161141, -111153.763991925],
  ])("+proj=nsper +a=6400000 +h=1000000: %d %d", (lon, lat, x, y) => {
    expect(off(near, lon, lat, x, y)).toBeLessThan(1e-4);
  });

  it("the same, inverse: 200 100 (nine decimals of a degree)", () => {
    const [lon, lat] = back(near, 200, 100);
    expect(Math.abs(lon - 0.001790493)).toBeLessThan(6e-10);
    expect(Math.abs(lat - 0.000895247)).toBeLessThan(6e-10);
  });

  it.each([
    [90, 45, 45, 0.4555, -0.4555],
    [-90, -45, -45, -0.4555, 0.4555],
    [45, 0, 90, 0, 0.6442],
    [45, 0, 0, 0, -0.6442],
    [45, 45, 45, 0.4767, 0.1396],
  ])("+proj=nsper +R=1 +h=3 +lat_0=%d: %d %d", (lat0, lon, lat, x, y) => {
    const warp = sphere(1, 3);
    expect(off(warp, ...under(lat0, lon, lat), x, y)).toBeLessThan(1e-4);
    const [lon1, lat1] = back(warp, x, y);
    const [lon2, lat2] = under(lat0, lon, lat);
    expect(Math.hypot(lon1 - lon2, lat1 - lat2)).toBeLessThan(0.02); // of four decimals
  });

  it("outside the domain: 0 0 under +lat_0=90, inverse 0 2", () => {
    const warp = sphere(1, 3);
    // The point comes to lie at the lower pole, which no flat of ours reaches; a little before it is the horizon's.
    const [lon, lat] = under(90, 0, 0);
    expect(warp.failureAt(lon * DEG, -lat * DEG)).toBe("behind-the-vessel");
    expect(warp.failureAt(0, -under(90, 0, 5)[1] * DEG)).toBe("over-horizon");
    expect(warp.inverse({ x: 0, y: -2 })).toBe("misses-vessel");
  });

  // Snyder, tables 22 and 23.
  it.each([
    [0, 10, 50, 0.1116, 0.766],
    [0, 20, 40, 0.262, 0.6428],
    [0, 30, 80, 0.0868, 0.9848],
    [0, 50, 60, 0.383, 0.866],
    [0, 70, 20, 0.883, 0.342],
    [0, 80, 10, 0.9698, 0.1736],
    [40, 20, 60, 0.171, 0.3614],
    [40, 40, -30, 0.5567, -0.8095],
    [40, 100, 70, 0.3368, 0.758],
    [40, 130, 40, 0.5868, 0.8089],
    [40, 170, 60, 0.0868, 0.9799],
    [40, 30, 40, 0.383, 0.066],
    [40, 40, 0, 0.6428, -0.4924],
  ])("+proj=ortho +R=1 +lat_0=%d: %d %d", (lat0, lon, lat, x, y) => {
    expect(off(sphere(1, Infinity), ...under(lat0, lon, lat), x, y)).toBeLessThan(1e-4);
  });

  it("+proj=ortho, outside the domain: 120 0, and 140 20 under +lat_0=40", () => {
    const warp = sphere(1, Infinity);
    expect(warp.failureAt(120 * DEG, 0)).toBe("over-horizon");
    const [lon, lat] = under(40, 140, 20);
    expect(warp.failureAt(lon * DEG, -lat * DEG)).toBe("over-horizon");
  });
});

it("Snyder's orthographic example, PP 1395, ch. 20: x = −.1503837, y = −.1651911", () => {
  const [lon, lat] = under(40, -10, 30);
  expect(off(sphere(1, Infinity), lon, lat, -0.1503837, -0.1651911)).toBeLessThan(5e-8);
});

it("Snyder's perspective example (inputs from memory), PROJ 9.1.1: R 6371 km, H 500 km, 39 N 77 W, point 41 N 74 W", () => {
  const [lon, lat] = under(39, 3, 41);
  expect(off(sphere(6371, 500), lon, lat, 247.1940874819, 222.4859563484)).toBeLessThan(1e-9);
});

describe("at the size of vessels (mm): PROJ 9.1.1 and d3-geo-projection 4.0.0 agree to 8.9e-16 mm; tolerance 1e-9 mm", () => {
  const at40: Rows = {
    0: [
      0, 0, 6.919645864417143, 0, 13.47760595965007, 0, 19.351836383618764, 0, 24.29076455058698, 0,
      28.129707693734648, 0, 30.792014356780037, 0, 32.27811711343287, 0,
    ],
    10: [
      0, 6.919645864417143, 6.78922283698847, 6.893957542700528, 13.226346999706314, 6.81878502705618,
      18.997377066048962, 6.699500278873302, 23.856159476926166, 6.544128275772694, 27.64040652407055,
      6.362228029617013, 30.273112624522316, 6.163752844204096, 31.752319741824095, 5.958108584361449,
    ],
    20: [
      0, 13.47760595965007, 6.407561972650133, 13.43038472153697, 12.490475184056473, 13.292086058534876,
      17.95790168285621, 13.072283364877212, 22.5794797984652, 12.785340644422291, 26.200183424520542,
      12.448477349452055, 28.74243081743972, 12.079771831505742, 30.19778745126578, 11.69647981673606,
    ],
    30: [
      0, 19.351836383618764, 5.801937434165211, 19.290442228894054, 11.320929479452388, 19.110399811203358,
      16.301654659471787, 18.823529411764703, 20.538567161285712, 18.44769112011997, 23.888894420200153,
      18.00451624972229, 26.275527424768413, 17.517018283178942, 27.681359183472548, 17.00751907868154,
    ],
    40: [
      0, 24.29076455058698, 5.01309310071345, 24.22417919026114, 9.79413915404291, 24.028580515595554,
      14.131751270943216, 23.715894558675025, 17.852136834525478, 23.304309553946826, 20.829695394399632,
      22.81615626870515, 22.990414249488428, 22.27561458712172, 24.308880033939054, 21.70664302306809,
    ],
    50: [
      0, 28.129707693734648, 4.089561347438221, 28.066804347881607, 8.001726999691314, 27.881652835166584,
      11.573079963721447, 27.58451924829021, 14.665942550195535, 27.19123620242027, 17.176289893649134,
      26.72156344461165, 19.037136309619108, 26.19735574793992, 20.21768546457619, 25.640830579468705,
    ],
    60: [
      0, 30.792014356780037, 3.081876422102048, 30.74012418355427, 6.039885915752872, 30.587056002846005,
      8.758509141589473, 30.340365663578876, 11.137807293560865, 30.011854346050878, 13.098677873969962,
      29.616526552063945, 14.585691011106336, 29.17138202221267,
    ],
    70: [
      0, 32.27811711343287, 2.0377931519732, 32.24215045495329, 4.000431703325861, 32.13581418358907,
      5.816914112904707, 31.96368035222519, 7.424109157868877, 31.73298919180793, 8.769680549779078,
      31.453135001210594,
    ],
  };
  const at36: Rows = {
    0: [
      0, 0, 3.178976913827265, 0, 9.388512337690598, 0, 15.166241584150585, 0, 20.26664435759543, 0,
      24.499808922364558, 0, 28.96671453666163, 0, 31.055547716257056, 0,
    ],
    5: [
      0, 3.178976913827265, 3.164692053443873, 3.176780662962751, 9.346555252822403, 3.159418300599675,
      15.09918577359157, 3.12577023581552, 20.178411428712494, 3.077850023277141, 24.39520802778178,
      3.018361870616048, 28.847308280636014, 2.914247592235025, 30.932474582886517, 2.801706701645298,
    ],
    15: [
      0, 9.388512337690598, 3.051763732599545, 9.382257575478103, 9.014792521590696, 9.332799968941796,
      14.568736719949522, 9.236896727494587, 19.480015833071974, 9.100189931482007, 23.566629798351364,
      8.93027699747877, 27.900202401021378, 8.632352664656185, 29.954888285049815, 8.309528440894564,
    ],
    25: [
      0, 15.166241584150585, 2.832909905206992, 15.156862210283512, 8.371471432181693, 15.082666104829462,
      13.538998880500712, 14.938632409602382, 18.122099538678505, 14.732951462394125, 21.952415203129814,
      14.476709312616617, 26.048680175332706, 14.02579993324463, 28.03659222299952, 13.534867073986954,
    ],
    35: [
      0, 20.26664435759543, 2.521227138582391, 20.255489682253, 7.454439185791586, 20.167196385990696,
      12.06852730883064, 19.995524476218222, 16.178049527134345, 19.749751758449896, 19.634100554749505,
      19.442530576971077, 23.374661231969355, 18.89911534488557, 25.24922862420706, 18.303372511088895,
    ],
  };
  it.each([
    ["+proj=nsper +R=40 +h=160", sphere(40, 160), [0, 10, 20, 30, 40, 50, 60, 70], at40],
    ["+proj=nsper +R=36.5 +h=200", sphere(36.5, 200), [0, 5, 15, 25, 35, 45, 60, 75], at36],
  ] as const)("%s", (_, warp, east, rows) => {
    // South and left mirror north and right.
    const farthest = each(rows, east, (lon, lat, x, y) =>
      Math.max(off(warp, lon, lat, x, y), off(warp, -lon, -lat, -x, -y)),
    );
    expect(farthest).toBeLessThan(1e-9);
  });

  // `proj -I`; the printed to twelve decimals of a degree.
  it.each([
    [40, 160, 10, 5, 14.748747169509, 7.254191118815],
    [40, 160, -12.5, 8.25, -19.00687644232, 12.131135125586],
    [40, 160, 20, 0, 31.203801752554, 0],
    [36.5, 200, 10, 5, 16.206425648409, 7.944287645974],
    [36.5, 200, -12.5, 8.25, -20.961244798316, 13.284589987575],
    [36.5, 200, 20, 0, 34.43480994773, 0],
  ])("R = %d, H = %d, inverse of %d %d", (radius, height, x, y, lon, lat) => {
    const [lon1, lat1] = back(sphere(radius, height), x, y);
    expect(Math.abs(lon1 - lon)).toBeLessThan(1e-10);
    expect(Math.abs(lat1 - lat)).toBeLessThan(1e-10);
  });

  it("d3-geo-projection's geoSatelliteRaw(1 + H/R) all over the side that is seen", () => {
    for (const [radius, height] of [
      [40, 160],
      [36.5, 200],
      [45, 545],
    ] as const) {
      const raw = geoSatelliteRaw(1 + height / radius, 0);
      const warp = sphere(radius, height);
      for (let lon = -55; lon <= 55; lon += 11)
        for (let lat = -52; lat <= 52; lat += 13) {
          const [x, y] = raw(lon * DEG, lat * DEG);
          expect(off(warp, lon, lat, radius * x, radius * y)).toBeLessThan(1e-9);
        }
    }
  });
});

// h′k′ and incidence by Snyder 23-2 and 23-3, mpmath 1.2.1; PROJ 9.1.1 `proj -S` prints the same to 6 digits.
it.each([
  // lon, lat, h′k′, incidence deg, cos i
  [0, 0, 1, 0, 1],
  [10, 0, 0.969916258685292, 12.4763725059582, 0.976385178946242],
  [20, 0, 0.884024977669813, 24.8149453749428, 0.907668035253081],
  [30, 0, 0.754184097874346, 36.8963679322288, 0.799722718443792],
  [40, 0, 0.596625255398415, 48.6325695457824, 0.660885361007153],
  [50, 0, 0.42821241739496, 59.9713072352135, 0.500433628273649],
  [60, 0, 0.263374485596708, 70.8933946491309, 0.327326835353989],
  [70, 0, 0.112420914884737, 81.4056632258823, 0.149437612116566],
  [20, 15, 0.826060721179344, 30.6695586571254, 0.860123402524692],
  [35, 25, 0.562236953216591, 51.0058392145821, 0.629241186101166],
])("R = 40, H = 160, at %d %d: area ratio (1e-12) and incidence", (lon, lat, ratio, incidence, cos) => {
  const m = meet(sphere(40, 160), lon, lat);
  expect(Math.abs(m.areaRatio - ratio)).toBeLessThan(1e-12);
  expect(Math.abs(m.cosIncidence - cos)).toBeLessThan(1e-12);
  expect(Math.abs(Math.acos(Math.min(1, m.cosIncidence)) / DEG - incidence)).toBeLessThan(1e-6);
});

// c = acos(1/P) and the map's edge R √((P − 1)/(P + 1)) (Snyder ch. 23), mpmath 1.2.1.
it.each([
  [40, 160, 78.46304096718453, 32.65986323710904],
  [36.5, 200, 81.12182530302333, 31.241115953296642],
])(
  "R = %d, H = %d: the horizon, in every direction, and what lies past it is named",
  (radius, height, deg, edge) => {
    const warp = sphere(radius, height);
    for (let azimuth = 0; azimuth < 360; azimuth += 15) {
      const [sin, cos] = [Math.sin(azimuth * DEG), Math.cos(azimuth * DEG)];
      const flat = (c: number): [a: number, b: number] => [
        radius * Math.atan2(Math.sin(c) * sin, Math.cos(c)),
        -radius * Math.asin(Math.sin(c) * cos),
      ];
      expect(warp.failureAt(...flat(deg * DEG - 1e-9))).toBeNull();
      expect(warp.failureAt(...flat(deg * DEG + 1e-9))).toBe("over-horizon");
      const m = warp.meeting(...flat(deg * DEG - 1e-9));
      if (typeof m === "string") throw new Error(m);
      expect(Math.abs(Math.hypot(m.u, m.v) - edge)).toBeLessThan(1e-9);
      expect(warp.inverse({ x: (edge + 1e-9) * sin, y: -(edge + 1e-9) * cos })).toBe("misses-vessel");
      expect(typeof warp.inverse({ x: (edge - 1e-6) * sin, y: -(edge - 1e-6) * cos })).toBe("object");
    }
  },
);
