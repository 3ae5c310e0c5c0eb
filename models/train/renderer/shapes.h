// Parts as signed distances, each about two units long, y up. Every shape gives the distance and a surface number:
// 0 the part's own finish, 1 rubber, 2 machined steel, 3 brass.
#pragma once
#include "math.h"

struct Hit { float d; int sub; };
HD Hit hit(float d, int s) { Hit h; h.d = d; h.sub = s; return h; }
HD Hit both(Hit a, Hit b) { return a.d < b.d ? a : b; }
HD float box(V p, V b, float r) {
  V q = v3(fabsf(p.x) - b.x + r, fabsf(p.y) - b.y + r, fabsf(p.z) - b.z + r);
  return len(v3(mx(q.x, 0), mx(q.y, 0), mx(q.z, 0))) + mn(mx(q.x, mx(q.y, q.z)), 0) - r;
}
HD float slab2(float a, float b, float r) { a += r; b += r; return mn(mx(a, b), 0) + len2(mx(a, 0), mx(b, 0)) - r; }
HD float cyl(V p, float radius, float half, float r) { return slab2(len2(p.x, p.z) - radius, fabsf(p.y) - half, r); }  // along y
HD V xy(V p) { return v3(p.y, p.x, p.z); }  // lays x on y
HD V zy(V p) { return v3(p.x, p.z, p.y); }  // lays z on y
HD float ring(V p, float outer, float inner, float half, float r) { return slab2(mx(len2(p.x, p.z) - outer, inner - len2(p.x, p.z)), fabsf(p.y) - half, r); }
HD float hex(V p, float across, float half, float r) {
  float x = fabsf(p.x), z = fabsf(p.z);
  float d = mx(z, x * 0.8660254f + z * 0.5f) - across;
  return slab2(d, fabsf(p.y) - half, r);
}
HD float rod(V p, V a, V b, float ra, float rb) {
  V pa = p - a, ba = b - a;
  float h = clampf(dot(pa, ba) / dot(ba, ba), 0, 1);
  return len(pa - ba * h) - mixf(ra, rb, h);
}
HD float rod2(float x, float z, float ax, float az, float bx, float bz, float ra, float rb) { return rod(v3(x, 0, z), v3(ax, 0, az), v3(bx, 0, bz), ra, rb); }
HD float thread(V p, float radius, float half, float pitch) {  // along y
  float a = atan2f(p.z, p.x) * 0.15915494f;
  float t = fabsf((p.y / pitch - a) - floorf(p.y / pitch - a) - 0.5f) * 2;
  return cyl(p, radius - pitch * 0.45f * t, half, 0.004f) * 0.8f;
}
HD float spin(V& p, int n) {  // folds the turn round y into one of n sectors, centred on +x
  float s = 6.2831853f / n, a = atan2f(p.z, p.x), k = floorf(a / s + 0.5f);
  float c = cosf(-k * s), d = sinf(-k * s);
  p = v3(p.x * c - p.z * d, p.y, p.x * d + p.z * c);
  return k;
}
HD Hit bush(V p, float r, float half) {  // along y: steel sleeve, rubber, inner sleeve
  Hit h = hit(ring(p, r, r * 0.84f, half, 0.008f), 0);
  h = both(h, hit(ring(p, r * 0.85f, r * 0.44f, half * 0.92f, 0.02f), 1));
  return both(h, hit(ring(p, r * 0.45f, r * 0.26f, half * 1.2f, 0.006f), 2));
}
HD Hit ballJoint(V p, float r) {  // along y: housing, boot, tapered stud, thread
  Hit h = hit(cyl(p, r, r * 0.7f, 0.03f), 0);
  h = both(h, hit(smin(cyl(p - v3(0, -r * 0.75f, 0), r * 0.8f, r * 0.1f, 0.02f), 9, 0.01f), 0));
  float y = p.y - r * 0.7f, bul = r * 0.92f * (1 - 0.55f * clampf(y / (r * 0.9f), 0, 1)) + 0.02f * sinf(y * 60);
  h = both(h, hit(slab2(len2(p.x, p.z) - bul, fabsf(y - r * 0.45f) - r * 0.45f, 0.02f) * 0.6f, 1));
  h = both(h, hit(rod(p, v3(0, r * 1.5f, 0), v3(0, r * 2.2f, 0), r * 0.42f, r * 0.3f), 2));
  return both(h, hit(thread(p - v3(0, r * 2.6f, 0), r * 0.3f, r * 0.5f, r * 0.12f), 2));
}
HD Hit bolt(V p, float r, float length, float headAcross, bool flange, float nutAt) {  // along y, head at the top
  float dome = len(p - v3(0, length * 0.5f + r * 1.2f - headAcross * 2.4f, 0)) - headAcross * 2.4f;
  float d = mx(hex(p - v3(0, length * 0.5f + r * 0.6f, 0), headAcross, r * 0.62f, 0.01f), dome);
  if (flange) d = mn(d, cyl(p - v3(0, length * 0.5f + r * 0.1f, 0), headAcross * 1.35f, r * 0.12f, 0.01f));
  d = mn(d, cyl(p - v3(0, length * 0.25f, 0), r * 0.97f, length * 0.26f, 0.005f));
  d = mn(d, thread(p - v3(0, -length * 0.25f, 0), r, length * 0.26f, r * 0.28f));
  if (nutAt < 1) {
    V q = p - v3(0, -length * 0.5f * nutAt, 0);
    d = mn(d, mx(hex(q, headAcross, r * 0.8f, 0.012f), len(q) - headAcross * 1.25f));
    d = mn(d, cyl(q - v3(0, r * 0.95f, 0), headAcross * 1.4f, r * 0.1f, 0.005f));
  }
  return hit(d, 0);
}
HD float bent(V p, const float* q, float r) {  // tube through five points in the plane with a rise
  V a = v3(-1, q[0], q[1]), b = v3(-0.45f, q[2], q[3]), c = v3(0.05f, q[4], q[5]), d = v3(0.5f, q[6], q[7]), e = v3(1, q[8], q[9]);
  float k = 0.02f;
  return smin(smin(rod(p, a, b, r, r), rod(p, b, c, r, r), k), smin(rod(p, c, d, r, r), rod(p, d, e, r, r), k), k);
}
HD Hit arm(V p, const float* q) {
  float bz = q[0], cx = 0.85f, cz = q[1], w = q[2], t = q[3];
  float d2 = smin(rod2(p.x, p.z, -0.8f, -bz, cx, cz, w * 1.1f, w), rod2(p.x, p.z, -0.8f, bz, cx, cz, w * 1.1f, w), 0.35f);
  float holes = mn(len2(p.x + 0.1f, p.z - 0.2f * bz - 0.3f * cz) - q[4], len2(p.x - 0.4f, p.z - 0.7f * cz) - q[4] * 0.6f);
  float dish = 0.05f * smooth(0, -0.12f, d2);
  float plate = slab2(mx(d2, -holes), fabsf(p.y - dish) - t, 0.006f);
  float rim = slab2(fabsf(d2) - t, fabsf(p.y - q[5] * 0.5f) - q[5] * 0.5f, 0.008f);
  float lip = slab2(fabsf(holes - 0.015f) - 0.015f, fabsf(p.y - dish - 0.01f) - t - 0.02f, 0.008f);
  float rib = rod(p, v3(-0.55f, 0.045f, 0), v3(0.5f, 0.045f, cz * 0.8f), 0.045f, 0.03f);
  Hit h = hit(smin(mn(mn(plate, rim), lip), mx(rib, -holes + 0.04f), 0.05f), 0);
  h = both(h, bush(zy(p - v3(-0.85f, 0.04f, -bz)), 0.17f, 0.2f));
  h = both(h, bush(q[6] > 0.5f ? p - v3(-0.85f, 0.04f, bz) : zy(p - v3(-0.85f, 0.04f, bz)), 0.17f, 0.19f));
  return both(h, ballJoint(p - v3(cx, 0.08f, cz), 0.15f));
}
HD Hit disc(V p, const float* q) {
  float d = ring(p, 1, q[0], 0.035f, 0.01f), gap = q[1];
  if (gap > 0) {
    V s = p; spin(s, 36);
    d = mn(ring(p - v3(0, gap, 0), 1, q[0], 0.03f, 0.008f), ring(p + v3(0, gap, 0), 1, q[0], 0.03f, 0.008f));
    d = mn(d, box(s - v3((1 + q[0]) * 0.49f, 0, 0), v3((1 - q[0]) * 0.45f, gap, 0.018f), 0.005f));
  }
  float hat = q[2];
  float wall = slab2(fabsf(len2(p.x, p.z) - q[0] + 0.03f) - 0.04f, fabsf(p.y - hat * 0.5f) - hat * 0.5f - 0.03f, 0.02f);
  float top = ring(p - v3(0, hat, 0), q[0], q[0] * 0.42f, 0.035f, 0.015f);
  V s = p; spin(s, (int)q[3]);
  top = mx(top, -(len2(s.x - q[0] * 0.72f, s.z) - 0.05f));
  float own = mn(wall, top);
  return both(hit(own, 0), hit(d, q[4] > 0.5f ? 2 : 0));
}
HD Hit spring(V p, const float* q) {
  float R = q[0], r = q[1], turns = q[2], pitch = 1.7f / turns;
  float taper = 1 - q[3] * smooth(0.3f, 0.9f, fabsf(p.y));
  float a = atan2f(p.z, p.x) * 0.15915494f, rad = len2(p.x, p.z) - R * taper;
  float k = clampf(floorf(p.y / pitch - a + 0.5f), -floorf(turns * 0.5f), floorf(turns * 0.5f));
  float y = p.y - (k + a) * pitch;
  float tip = 0.85f;
  float d = len2(rad, y) - r;
  return hit(mx(d, fabsf(p.y) - tip - r) * 0.75f, 0);
}
HD Hit bracket(V p, const float* q) {
  float t = q[0], w = q[1];
  V a = p - v3(0.5f, 0, 0), b = p - v3(0, 0.4f, 0);
  float base = mx(box(a, v3(0.5f, t, w), 0.01f), -(len2(fabsf(p.x - 0.55f) - 0.22f, p.z) - q[2]));
  float up = box(b, v3(t, 0.4f, w), 0.01f);
  up = mx(up, -mx(len2(p.y - 0.5f, p.z) - q[2] * 1.6f, -9));
  float fillet = mx(mx(t * 3 - len2(p.x - t * 3, p.y - t * 3), mx(p.x - t * 3, p.y - t * 3)), fabsf(p.z) - w);
  float gus = slab2((p.x + p.y * 1.2f - 0.55f) * 0.64f, fabsf(fabsf(p.z) - w * 0.85f) - t * 0.8f, 0.01f);
  gus = mx(gus, mx(-p.x, -p.y));
  float d = mn(mn(base, up), mn(fillet, q[3] > 0.5f ? gus : 9.f));
  if (q[4] > 0.5f) { V n = p - v3(0.77f, t + 0.05f, 0); d = mn(d, mx(hex(n, 0.1f, 0.06f, 0.01f), -cyl(n, 0.05f, 1, 0))); }
  return hit(d, 0);
}
HD Hit alloyPlate(V p, const float* q) {
  float d2 = box(v3(p.x, 0, p.z), v3(1, 1, q[0]), 0.25f);
  float d = slab2(d2, fabsf(p.y) - 0.06f, 0.02f);
  float rim = slab2(fabsf(d2 + 0.05f) - 0.04f, fabsf(p.y - 0.06f) - 0.1f, 0.02f);
  V g = p; g.x = g.x - 0.35f * floorf(g.x / 0.35f + 0.5f);
  float ribs = mx(box(v3(g.x, p.y - 0.06f, p.z), v3(0.025f, 0.08f, q[0] * 0.9f), 0.015f), d2);
  V s = v3(fabsf(p.x) - 0.82f, p.y, fabsf(p.z) - q[0] + 0.16f);
  float boss = cyl(s - v3(0, 0.08f, 0), 0.11f, 0.11f, 0.02f);
  float mid = ring(p - v3(0.1f, 0.08f, 0), 0.36f, 0.24f, 0.14f, 0.02f);
  d = smin(smin(d, mn(rim, ribs), 0.04f), mn(boss, mid), 0.05f);
  d = mx(d, -(len2(s.x, s.z) - 0.05f));
  return hit(mx(d, -(len2(p.x - 0.1f, p.z) - 0.24f)), 0);
}
HD Hit subframe(V p, const float* q) {
  float bow = q[0] * (p.x * p.x - 0.5f);
  V s = v3(p.x, p.y - bow, p.z);
  float outer = box(s, v3(1, q[1], q[2]), 0.06f), inner = box(s, v3(2, q[1] - 0.025f, q[2] - 0.025f), 0.05f);
  float d = mx(outer, -inner);
  float seam = box(v3(s.x, s.y, fabsf(s.z) - q[2] - 0.05f), v3(1, 0.018f, 0.06f), 0.006f);
  float h1 = len2(s.x - q[3], s.z) - 0.1f, h2 = len2(s.x + 0.5f, s.z) - 0.07f;
  d = mn(mx(d, -mx(mn(h1, h2), -s.y)), seam);
  float bead = 0.012f * noise(v3(s.x * 40, 0, 0));
  float ear = box(s - v3(0.55f, q[1] + 0.15f, 0), v3(0.03f, 0.2f, q[2] * 0.8f), 0.02f);
  ear = mn(ear, box(s - v3(0.85f, q[1] + 0.15f, 0), v3(0.03f, 0.2f, q[2] * 0.8f), 0.02f));
  ear = mx(ear, -(len2(s.y - q[1] - 0.2f, s.z) - 0.06f));
  d = smin(d, ear - bead * 0.3f, 0.03f);
  Hit h = hit(d, 0);
  return both(h, bush(s - v3(-0.8f, 0, 0), 0.2f, q[1] + 0.06f));
}
HD Hit rodEnd(V p, const float* q) {
  V a = p - v3(0.6f, 0, 0);
  Hit h = ballJoint(a, 0.24f);
  h = both(h, hit(smin(rod(p, v3(0.5f, 0, 0), v3(0.1f, 0, 0), 0.16f, 0.12f), 9, 0.1f), 0));
  V t = xy(p - v3(-0.45f, 0, 0));
  h = both(h, hit(thread(t, 0.105f, 0.58f, 0.045f), q[0] > 0.5f ? 2 : 0));
  V n = xy(p - v3(-0.15f + q[1], 0, 0));
  return both(h, hit(mx(hex(n, 0.19f, 0.07f, 0.01f), len(n) - 0.23f), 0));
}
HD Hit link(V p, const float* q) {
  float d = rod(p, v3(-0.75f, 0, 0), v3(0.75f, 0, 0), q[0], q[0]);
  Hit h = hit(d, 0);
  V a = zy(p - v3(-0.85f, 0, 0)), b = zy(p - v3(0.85f, 0, 0));
  if (q[1] > 0.5f) b = v3(b.x, -b.y, b.z);
  return both(h, both(ballJoint(a, 0.15f), ballJoint(b, 0.15f)));
}
HD Hit hub(V p, const float* q) {
  V s = p; spin(s, (int)q[0]);
  float flange = mx(cyl(p, 0.8f - 0.12f * smooth(0.1f, 0.35f, fabsf(s.z)), 0.06f, 0.02f), -(len2(p.x, p.z) - 0.2f));
  float neck = ring(p - v3(0, -0.25f, 0), 0.42f, 0.2f, 0.25f, 0.03f), pilot = ring(p - v3(0, 0.1f, 0), 0.33f, 0.22f, 0.1f, 0.015f);
  Hit h = hit(smin(flange, neck, 0.08f), 0);
  h = both(h, hit(pilot, 2));
  return both(h, hit(thread(s - v3(0.6f, 0.25f, 0), 0.07f, 0.26f, 0.025f), 2));
}
HD Hit sheet(V p, const float* q) {  // tread plate, corrugated sheet or plain sheet
  float bump = 0;
  if (q[0] < 0.33f) {
    float s = q[1], u = (p.x + p.z) * s, v = (p.x - p.z) * s, fu = floorf(u), fv = floorf(v);
    bool turn = ((int)fu + (int)fv) & 1;
    float a = u - fu - 0.5f, b = v - fv - 0.5f; if (turn) { float k = a; a = b; b = k; }
    bump = 0.014f * smooth(0.12f, 0.05f, len2(a * 0.36f, b) - 0.03f);
  } else if (q[0] < 0.66f) bump = 0.04f * sinf(p.x * q[1] * 2);
  float d = box(v3(p.x, p.y - bump, p.z), v3(q[2], 0.03f, q[3]), 0.01f);
  return hit(d * 0.6f, 0);
}
HD Hit fence(V p, const float* q) {
  V s = p; s.x = s.x - q[0] * clampf(floorf(s.x / q[0] + 0.5f), -3, 3);
  float d = q[3] > 0.5f ? box(s, v3(q[1], 1, q[1]), 0.015f) : cyl(s, q[1], 1, 0.01f);
  V r = xy(v3(p.x, fabsf(p.y - 0.1f) - q[2], p.z));
  d = smin(d, cyl(r, q[1] * 1.3f, 1.2f, 0.01f), 0.04f);
  return hit(mn(d, box(p - v3(0, q[2] + 0.1f, 0), v3(1.2f, 0.07f, q[1] * 1.6f), 0.01f)), 0);
}
// Shapes kept for the test renders
HD Hit sprocket(V p, const float* q) {
  V s = p; spin(s, (int)q[0]);
  float tooth = mx(fabsf(s.z) - (1.02f - s.x) * 0.55f - 0.02f, s.x - 1);
  float d = slab2(mn(len2(p.x, p.z) - 0.86f, mx(tooth * 0.8f, 0.8f - s.x)), fabsf(p.y) - 0.06f, 0.01f);
  V h = p; spin(h, 5);
  d = mx(d, -(len2(h.x - 0.52f, h.z) - 0.17f));
  d = mn(d, cyl(p, 0.28f, 0.16f, 0.02f));
  return hit(mx(d, -(len2(p.x, p.z) - 0.13f)), 0);
}
HD Hit chain(V p, const float* q) {
  float d = 9;
  for (int i = -2; i <= 2; i++) {
    V s = p - v3(i * 0.42f, 0.03f * (i & 1), 0.05f * i * i * q[1]);
    if (i & 1) s = zy(s);
    float k = len2(mx(fabsf(s.x) - 0.16f, 0), s.z) - 0.14f;
    d = mn(d, len2(k, s.y) - q[0]);
  }
  return hit(d, 0);
}
HD Hit caliper(V p, const float* q) {
  float d = box(p, v3(0.85f, 0.42f, 0.4f), 0.15f);
  d = mx(d, -box(p - v3(0, -0.25f, 0), v3(0.5f, 0.35f, 0.22f), 0.05f));
  float pis = cyl(zy(p - v3(0, 0, 0.38f)), 0.34f, 0.2f, 0.05f);
  d = smin(d, pis, 0.08f);
  d = mn(d, box(p - v3(0, -0.1f, -0.45f), v3(1, 0.14f, 0.05f), 0.04f));
  V s = v3(fabsf(p.x) - 0.85f, p.y + 0.1f, p.z);
  d = mn(d, cyl(zy(s), 0.1f, 0.5f, 0.03f));
  Hit h = hit(d, 0);
  V n = p - v3(0.35f, 0.48f, 0.2f);
  return both(h, hit(mn(hex(n, 0.07f, 0.1f, 0.01f), cyl(n, 0.03f, 0.18f, 0.01f)), 3));
}
HD Hit leaves(V p, const float* q) {
  float d = 9;
  for (int i = 0; i < 4; i++) {
    float l = 1 - 0.2f * i, bow = q[0] * p.x * p.x;
    d = mn(d, box(v3(p.x, p.y - bow + 0.05f * i, p.z), v3(l, 0.023f, 0.13f), 0.006f));
  }
  d *= 0.8f;
  d = mn(d, ring(zy(p - v3(1, q[0] + 0.08f, 0)), 0.1f, 0.06f, 0.13f, 0.006f));
  d = mn(d, ring(zy(p - v3(-1, q[0] + 0.08f, 0)), 0.1f, 0.06f, 0.13f, 0.006f));
  return hit(mn(d, box(p - v3(0, -0.06f, 0), v3(0.08f, 0.14f, 0.16f), 0.01f)), 0);
}
HD Hit silencer(V p, const float* q) {
  V s = xy(p);
  float e = len2(s.x / 0.3f, s.z / q[0]) ;
  float d = slab2((e - 1) * 0.25f, fabsf(s.y) - 0.6f, 0.02f);
  d = mn(d, slab2((e - 1.05f) * 0.25f, fabsf(fabsf(s.y) - 0.6f) - 0.02f, 0.01f));
  d = mn(d, rod(p, v3(-0.6f, 0.05f, 0.08f), v3(-1.1f, 0.05f, 0.08f), 0.08f, 0.08f));
  return hit(mn(d, rod(p, v3(0.6f, 0, -0.06f), v3(1.1f, 0.1f, -0.1f), 0.08f, 0.08f)), 0);
}
HD Hit hinge(V p, const float* q) {
  float d = box(p - v3(0.45f, 0, 0), v3(0.42f, 0.03f, 0.5f), 0.02f);
  V b = v3(p.x * 0.8f + p.y * 0.6f, p.y * 0.8f - p.x * 0.6f, p.z);
  d = mn(d, box(b + v3(0.45f, 0, 0), v3(0.42f, 0.03f, 0.5f), 0.02f));
  V h = v3(fabsf(p.x) - 0.5f, p.y, fabsf(p.z) - 0.28f);
  d = mx(d, -(len2(p.x - 0.5f, h.z) - 0.07f));
  return hit(mn(d, cyl(zy(p), 0.1f, 0.54f, 0.02f)), 0);
}
HD Hit shape(int family, V p, const float* q) {
  switch (family) {
    case 0: return arm(p, q);
    case 1: return disc(p, q);
    case 2: return spring(p, q);
    case 3: return bolt(p, q[0], q[1], q[2], q[3] > 0.5f, q[4]);
    case 4: {
      Hit h = hit(bent(p, q, q[10]), 0);
      V a = xy(p - v3(-0.93f, q[0], q[1])), b = xy(p - v3(0.93f, q[8], q[9]));
      float f = mn(mn(hex(a, q[10] * 2.2f, 0.06f, 0.01f), thread(a + v3(0, 0.1f, 0), q[10] * 1.7f, 0.06f, 0.02f)), mn(hex(b, q[10] * 2.2f, 0.06f, 0.01f), thread(b - v3(0, 0.1f, 0), q[10] * 1.7f, 0.06f, 0.02f)));
      return both(h, hit(f, q[11] > 0.5f ? 3 : 2));
    }
    case 5: return bracket(p, q);
    case 6: return alloyPlate(p, q);
    case 7: return subframe(p, q);
    case 8: return rodEnd(p, q);
    case 9: return link(p, q);
    case 10: return hub(p, q);
    case 11: return sheet(p, q);
    case 12: return fence(p, q);
    case 13: return hit(mx(hex(p, 0.5f, 0.28f, 0.02f), mx(len(p) - 0.62f, -(len2(p.x, p.z) - 0.28f))), 0);
    case 14: return hit(rod(p, v3(-1, 0, 0), v3(1, 0, 0), q[0], q[1]), 0);
    case 15: return hit(box(p, v3(1, q[0], q[1]), q[2]), 0);
    case 20: return sprocket(p, q);
    case 21: return chain(p, q);
    case 22: return caliper(p, q);
    case 23: return leaves(p, q);
    case 24: return silencer(p, q);
    default: return hinge(p, q);
  }
}
