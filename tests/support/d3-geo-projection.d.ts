declare module "d3-geo-projection" {
  type Raw = (lambda: number, phi: number) => [number, number];
  export function geoSatelliteRaw(distance: number, tilt: number): Raw;
}
