/** Eigenvalues below this part of the greatest are taken as noise: two planes less than 11° apart are one. */
const RANK_LIMIT = 0.01;

const matrix = new Float64Array(9);
const vectors = new Float64Array(9);

/**
 * The point that lies on all of a few planes as nearly as can be, nearest to `mass` where they leave
 * it free: on a smooth patch a point of it, at an edge or corner the edge or corner itself.
 * `planes` holds point and unit normal, six numbers each. Written into `out` (3).
 * Kobbelt, Botsch, Schwanecke & Seidel 2001; Ju, Losasso, Schaefer & Warren 2002.
 */
export function featurePoint(
  planes: Float64Array,
  count: number,
  mass: Float64Array,
  out: Float64Array,
): void {
  matrix.fill(0);
  let bx = 0;
  let by = 0;
  let bz = 0;
  for (let p = 0; p < 6 * count; p += 6) {
    const nx = planes[p + 3]!;
    const ny = planes[p + 4]!;
    const nz = planes[p + 5]!;
    const off =
      nx * (planes[p]! - mass[0]!) + ny * (planes[p + 1]! - mass[1]!) + nz * (planes[p + 2]! - mass[2]!);
    matrix[0]! += nx * nx;
    matrix[1]! += nx * ny;
    matrix[2]! += nx * nz;
    matrix[4]! += ny * ny;
    matrix[5]! += ny * nz;
    matrix[8]! += nz * nz;
    bx += nx * off;
    by += ny * off;
    bz += nz * off;
  }
  matrix[3] = matrix[1]!;
  matrix[6] = matrix[2]!;
  matrix[7] = matrix[5]!;
  diagonalize();
  const greatest = Math.max(matrix[0]!, matrix[4]!, matrix[8]!);
  out[0] = mass[0]!;
  out[1] = mass[1]!;
  out[2] = mass[2]!;
  for (let e = 0; e < 3; e++) {
    const value = matrix[4 * e]!;
    if (value <= RANK_LIMIT * greatest) continue;
    const x = vectors[e]!;
    const y = vectors[3 + e]!;
    const z = vectors[6 + e]!;
    const along = (x * bx + y * by + z * bz) / value;
    out[0]! += along * x;
    out[1]! += along * y;
    out[2]! += along * z;
  }
}

/** Cyclic Jacobi: eigenvalues end on the diagonal of `matrix`, eigenvectors in the columns of `vectors`. */
function diagonalize(): void {
  vectors.fill(0);
  vectors[0] = 1;
  vectors[4] = 1;
  vectors[8] = 1;
  for (let sweep = 0; sweep < 12; sweep++) {
    const off = Math.abs(matrix[1]!) + Math.abs(matrix[2]!) + Math.abs(matrix[5]!);
    if (off < 1e-12) return;
    rotate(0, 1);
    rotate(0, 2);
    rotate(1, 2);
  }
}

function rotate(p: number, q: number): void {
  const apq = matrix[3 * p + q]!;
  if (Math.abs(apq) < 1e-300) return;
  const theta = (matrix[4 * q]! - matrix[4 * p]!) / (2 * apq);
  const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
  const c = 1 / Math.sqrt(t * t + 1);
  const s = t * c;
  for (let k = 0; k < 3; k++) {
    const kp = matrix[3 * k + p]!;
    const kq = matrix[3 * k + q]!;
    matrix[3 * k + p] = c * kp - s * kq;
    matrix[3 * k + q] = s * kp + c * kq;
  }
  for (let k = 0; k < 3; k++) {
    const pk = matrix[3 * p + k]!;
    const qk = matrix[3 * q + k]!;
    matrix[3 * p + k] = c * pk - s * qk;
    matrix[3 * q + k] = s * pk + c * qk;
    const vp = vectors[3 * k + p]!;
    const vq = vectors[3 * k + q]!;
    vectors[3 * k + p] = c * vp - s * vq;
    vectors[3 * k + q] = s * vp + c * vq;
  }
}
