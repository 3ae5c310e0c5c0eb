// A small path tracer for parts described by signed distances. Built by nvcc for the graphics card or by g++ for the
// processor; the same scene numbers give the same picture up to noise. See scenes.py for the layout of a scene.
#include <stdlib.h>
#include <string.h>
#include "shapes.h"

struct Surf { V albedo, f0; float rough, metal, rust; int part; };
struct World { const float* s; const uint8_t* atlas; int n; };
HD const float* object(const World& w, int i) { return w.s + 64 + 64 * i; }
HD V toLocal(const float* o, V p) { V t = p - readv(o + 10); return v3(dot(readv(o + 1), t), dot(readv(o + 4), t), dot(readv(o + 7), t)) * (1 / o[13]); }

HD float map(const World& w, V p, int& id, int& sub) {
  float best = 1e9f; id = -1; sub = 0;
  for (int i = 0; i < w.n; i++) {
    const float* o = object(w, i);
    V l = toLocal(o, p);
    float far = (len(l) - o[14]) * o[13];
    if (far > 0.3f) { if (far < best) { best = far + 0.05f; id = i; sub = 0; } continue; }
    Hit h = shape((int)o[0], l, o + 16);
    float d = h.d * o[13];
    if (d < best) { best = d; id = i; sub = h.sub; }
  }
  return best;
}
HD float mapd(const World& w, V p) { int a, b; return map(w, p, a, b); }
HD float local(const float* o, V p) { return shape((int)o[0], p, o + 16).d; }

HD V texel(const World& w, int t, int x, int y) {
  x &= 255; y &= 255; if (x > 127) x = 255 - x; if (y > 127) y = 255 - y;
  const uint8_t* p = w.atlas + (((size_t)t * 128 + y) * 128 + x) * 3;
  V c = v3(p[0], p[1], p[2]) * (1 / 255.f);
  return c * c;
}
HD V tex(const World& w, int t, float u, float v) {
  u *= 128; v *= 128;
  float fu = floorf(u), fv = floorf(v); int x = (int)fu, y = (int)fv; float a = u - fu, b = v - fv;
  return mixv(mixv(texel(w, t, x, y), texel(w, t, x + 1, y), a), mixv(texel(w, t, x, y + 1), texel(w, t, x + 1, y + 1), a), b);
}

// Floors and walls: 0 concrete, 1 planks, 2 grass, 3 gravel, 4 tiles, 5 picture tile, 6 sheet of paint or card, 7 brick
HD V ground(const World& w, int kind, float x, float z, V a, V b, float scale, float seed, int t) {
  V p = v3(x * scale + seed * 13.1f, z * scale, seed);
  float n = fbm(p, 4);
  switch (kind) {
    case 0: { float st = fbm(p * 0.35f + v1(9), 3), pit = spots(p * 6, 0.12f), cr = fabsf(fbm(p * 0.5f + v1(31), 4) - 0.5f);
      return mixv(a, b, 0.55f * n + 0.5f * smooth(0.5f, 0.7f, st)) * (1 - 0.5f * pit) * (0.75f + 0.25f * smooth(0, 0.012f, cr)) * (0.9f + 0.2f * noise(p * 40)); }
    case 1: { float k = floorf(x * scale * 0.9f), e = x * scale * 0.9f - k; float g = fbm(v3(x * scale * 9, z * scale * 0.7f + 5 * cell((int)k, 3, 1), seed + k), 4);
      return mixv(a, b, g) * (0.7f + 0.5f * cell((int)k, 7, 2)) * (0.25f + 0.75f * smooth(0, 0.03f, mn(e, 1 - e))); }
    case 2: { float g = fbm(v3(x * scale * 14, z * scale * 5, seed), 3), h = fbm(v3(x * scale * 5, z * scale * 14, seed + 4), 3); return mixv(a, b, mx(g, h)) * (0.3f + 1.2f * mn(g, h)); }
    case 3: { float s1 = spots(p * 5, 0.95f), s2 = spots(p * 9 + v1(3), 0.9f); float m = mx(s1, s2 * 0.8f); return mixv(a, b, noise(p * 4)) * (0.25f + 0.9f * smooth(0, 0.5f, m)); }
    case 4: { float u = x * scale * 0.8f, v = z * scale * 0.8f; float fu = u - floorf(u), fv = v - floorf(v), e = mn(mn(fu, 1 - fu), mn(fv, 1 - fv));
      return mixv(b, a * (0.85f + 0.3f * cell((int)floorf(u), (int)floorf(v), 5)) * (0.9f + 0.2f * n), smooth(0.012f, 0.03f, e)); }
    case 5: return tex(w, t, x * scale * 0.4f + seed, z * scale * 0.4f) * (0.85f + 0.3f * n);
    case 7: { float v = z * scale * 2.2f, rw = floorf(v), u = x * scale + 0.5f * rw; float fu = u - floorf(u), fv = v - rw; float e = mn(mn(fu, 1 - fu) * 2.2f, mn(fv, 1 - fv));
      return mixv(b, a * (0.6f + 0.7f * cell((int)floorf(u), (int)rw, 9)) * (0.8f + 0.4f * fbm(p * 6, 3)), smooth(0.04f, 0.09f, e)); }
    default: return mixv(a, b, 0.4f * n) * (0.95f + 0.1f * noise(p * 30));
  }
}

// How rusty a point of a part is: layered noise, bare edges, water traps, run-down streaks and spots
HD float rustScore(const float* o, const float* m, V l, V n, V down, int octaves) {
  float f = m[7];
  V q = l * f + v1(m[19]);
  float s = fbm(q, octaves);
  float h = 0.05f;
  if (m[8] > 0) { float e = clampf(1 + local(o, l - n * h) / h, 0, 1); s += m[8] * (e - 0.3f); }
  if (m[24] > 0) { float c = clampf(1 - local(o, l + n * h) / h, 0, 1); s += m[24] * c; }
  if (m[9] > 0) { V side = l - down * (dot(l, down) * 0.85f); s += m[9] * (fbm(side * (f * 2.2f) + v1(m[19] + 17), 3) - 0.5f); }
  if (m[10] > 0) s += m[10] * mx(spots(q * 1.7f, 0.35f), 0.8f * spots(q * 4.1f + v1(5), 0.25f));
  return s + m[25] * dot(n, v3(-down.x, -down.y, -down.z)) * 0.3f;
}

HD Surf surface(const World& w, int i, int sub, V p, V& n, bool fine) {
  const float* o = object(w, i); const float* m = o + 32;
  V l = toLocal(o, p);
  V ln = norm(v3(dot(readv(o + 1), n), dot(readv(o + 4), n), dot(readv(o + 7), n)));
  V down = v3(-o[2], -o[5], -o[8]);
  Surf r; r.part = o[15] > 0.5f; r.metal = m[4]; r.rough = m[3]; V base = readv(m);
  int oct = fine ? 5 : 3;
  float big = fbm(l * 3 + v1(m[19] + 3), 3), grain = fine ? noise(l * 90 + v1(m[19])) : 0.5f;
  base = base * (0.85f + 0.3f * big);
  float scr = 0;
  if (m[4] > 0.5f) {  // brushed or cast metal
    float br = fine ? fbm(v3(l.x * 6, l.y * 60, l.z * 60) + v1(m[19]), 3) : 0.5f;
    base = base * (0.75f + 0.5f * br); r.rough = clampf(r.rough + 0.25f * (big - 0.5f), 0.08f, 1);
  } else if (m[21] > 0) scr = smooth(1 - m[21] * 0.5f, 1.05f - m[21] * 0.5f, fbm(v3(l.x * 25, l.y * 7, l.z * 9) + v1(m[19] + 8), 4));
  if (scr > 0) { base = mixv(base, readv(m + 28), scr); }
  if (sub == 1) { base = v1(0.025f); r.metal = 0; r.rough = 0.55f; }
  if (sub == 2) { base = v3(0.55f, 0.54f, 0.52f); r.metal = 1; r.rough = 0.32f; }
  if (sub == 3) { base = v3(0.62f, 0.42f, 0.16f); r.metal = 1; r.rough = 0.35f; }
  float a = 0; V bump = v1(0);
  if (m[6] > 0 && sub != 1 && sub != 3) {
    float T = m[6] + (sub == 2 ? m[26] : 0.f), s = rustScore(o, m, l, ln, down, oct);
    a = smooth(T - 0.015f, T + 0.025f, s) * m[12];
    float halo = smooth(T - m[22], T, s) * m[20] * (1 - a);
    base = mixv(base, base * v3(0.95f, 0.55f, 0.25f) + v3(0.08f, 0.03f, 0.005f), halo);
    if (a > 0) {
      float depth = clampf((s - T) * 3.5f, 0, 1), k = fbm(l * (m[7] * 3.3f) + v1(m[19] + 40), oct), fl = fine ? fbm(l * (m[7] * 11) + v1(m[19] + 60), 3) : 0.5f;
      V fresh = v3(0.40f, 0.15f, 0.04f), mid = v3(0.20f, 0.075f, 0.03f), dark = v3(0.065f, 0.032f, 0.022f);
      float tone = clampf(m[11] + (k - 0.5f) * 1.3f - depth * 0.45f, 0, 1);
      V c = tone > 0.5f ? mixv(mid, fresh, tone * 2 - 1) : mixv(dark, mid, tone * 2);
      c = c * (0.6f + 0.8f * fl);
      if (m[27] >= 0) { V t = tex(w, (int)m[27], l.x * 0.9f + l.y * 0.4f, l.z * 0.9f + l.y * 0.5f); c = mixv(c, t, 0.45f); }
      base = mixv(base, c, a); r.metal *= 1 - a; r.rough = mixf(r.rough, 0.85f, a);
      if (fine && m[13] > 0) {
        float e = 0.012f, g = m[7] * 7;
        V q = l * g + v1(m[19] + 60);
        float c0 = fbm(q, 3);
        bump = v3(fbm(q + v3(e * g, 0, 0), 3) - c0, fbm(q + v3(0, e * g, 0), 3) - c0, fbm(q + v3(0, 0, e * g), 3) - c0) * (m[13] * a / e * 0.05f);
      }
    }
  }
  if (m[18] > 0) { float oil = smooth(0.62f, 0.7f, fbm(l * 2.3f + v1(m[19] + 71), 4) + m[18] - 0.5f); base = base * mixf(1, 0.22f, oil); r.rough = mixf(r.rough, 0.18f, oil); r.metal *= 1 - oil * 0.7f; }
  if (m[14] > 0) {
    float mud = smooth(0.6f, 0.68f, fbm(l * 3.1f + v1(m[19] + 91), 5) + m[14] - 0.5f);
    base = mixv(base, readv(m + 15) * (0.7f + 0.6f * grain), mud); r.rough = mixf(r.rough, 0.95f, mud); r.metal *= 1 - mud; a *= 1 - mud;
  }
  if (fine && m[23] > 0 && m[4] + m[23] > 0) {
    float e = 0.02f, g = 16; V q = l * g + v1(m[19]); float c0 = noise(q);
    bump = bump + v3(noise(q + v3(e * g, 0, 0)) - c0, noise(q + v3(0, e * g, 0)) - c0, noise(q + v3(0, 0, e * g)) - c0) * (m[23] * 0.02f / e);
  }
  if (dot(bump, bump) > 0) {
    V b = bump - ln * dot(bump, ln); ln = norm(ln - b);
    n = norm(v3(o[1] * ln.x + o[4] * ln.y + o[7] * ln.z, o[2] * ln.x + o[5] * ln.y + o[8] * ln.z, o[3] * ln.x + o[6] * ln.y + o[9] * ln.z));
  }
  r.rust = a; r.albedo = base; r.f0 = mixv(v1(0.04f), base, r.metal);
  return r;
}

HD V sky(const float* s, V d) {
  V c = mixv(readv(s + 19), readv(s + 16), smooth(0, 0.8f, d.y));
  if (d.y < 0) c = mixv(readv(s + 19) * 0.6f, readv(s + 22), smooth(0, -0.25f, d.y));
  if (s[52] > 0.5f) {  // workshop: dim hall with windows and tubes
    float a = atan2f(d.z, d.x) * 0.9549f; float k = a - floorf(a);
    if (d.y > 0.15f && d.y < 0.6f && k > 0.25f && k < 0.7f && ((int)floorf(a) & 1)) c = c * 4.f;
    if (d.y > 0.75f && fabsf(d.x / d.y - floorf(d.x / d.y * 1.5f + 0.5f) / 1.5f) < 0.07f) c = c * 7.f;
  } else c = c * (0.7f + 0.6f * fbm(d * 2.5f + v1(s[42]), 3));
  return c;
}

struct Ray { float t; int id, sub; V n; };  // id -2 floor, -3 wall, -1 nothing
HD Ray trace(const World& w, V o, V d, float tmax, int steps) {
  Ray r; r.id = -1; r.sub = 0; r.t = tmax; r.n = v3(0, 1, 0);
  if (d.y < -1e-4f) { float t = -o.y / d.y; if (t > 0 && t < r.t) { r.t = t; r.id = -2; } }
  if (w.s[43] > 0 && d.z > 1e-4f) { float t = (w.s[43] - o.z) / d.z; if (t > 0 && t < r.t) { r.t = t; r.id = -3; r.n = v3(0, 0, -1); } }
  float t = 0;
  for (int i = 0; i < steps && t < r.t; i++) {
    int id, sub; V p = o + d * t; float h = map(w, p, id, sub);
    if (h < 0.0006f * (1 + 0.3f * t)) {
      float e = 0.0012f; V n = v1(0);
      const float k[4][3] = {{1, -1, -1}, {-1, -1, 1}, {-1, 1, -1}, {1, 1, 1}};
      for (int j = 0; j < 4; j++) { V q = v3(k[j][0], k[j][1], k[j][2]); n = n + q * mapd(w, p + q * e); }
      r.t = t; r.id = id; r.sub = sub; r.n = norm(n); return r;
    }
    t += h * 0.9f;
  }
  return r;
}
HD bool blocked(const World& w, V o, V d, float tmax) {
  float t = 0.004f;
  for (int i = 0; i < 48 && t < tmax; i++) { float h = mapd(w, o + d * t); if (h < 0.0008f) return true; t += mx(h, 0.003f); if (t > 12) break; }
  return false;
}
HD Surf at(const World& w, const Ray& r, V p, V& n, bool fine) {
  if (r.id >= 0) return surface(w, r.id, r.sub, p, n, fine);
  const float* s = w.s; Surf f; f.part = 0; f.rust = 0; f.metal = 0; f.f0 = v1(0.03f);
  if (r.id == -2) { f.albedo = ground(w, (int)s[32], p.x, p.z, readv(s + 34), readv(s + 37), s[33], s[42], (int)s[41]); f.rough = s[40]; }
  else { f.albedo = ground(w, (int)s[44], p.x, p.y, readv(s + 45), readv(s + 48), s[33] * 0.7f, s[42] + 3, (int)s[51]); f.rough = 0.8f; }
  return f;
}
HD float ggx(float nh, float a) { float a2 = a * a, d = nh * nh * (a2 - 1) + 1; return a2 / (3.14159f * d * d + 1e-7f); }
HD V lit(const World& w, const Surf& f, V p, V n, V view, V l, V light) {
  float nl = dot(n, l); if (nl <= 0) return v1(0);
  V h = norm(l + view); float a = f.rough * f.rough, nv = mx(dot(n, view), 0.05f), vh = mx(dot(view, h), 0);
  float fr = powf(1 - vh, 5); V F = f.f0 + (v1(1) - f.f0) * fr;
  float k = a * 0.5f, g = 1 / ((nl * (1 - k) + k) * (nv * (1 - k) + k) * 4);
  return (f.albedo * ((1 - f.metal) * 0.3183f) + F * mn(ggx(mx(dot(n, h), 0), a) * g, 30.f)) * light * nl;
}
HD void sample(const World& w, V o, V d, Rng& g, V& out, float& rust, float& part) {
  const float* s = w.s; V carry = v1(1); out = v1(0); rust = part = 0;
  for (int b = 0; b < 3; b++) {
    Ray r = trace(w, o, d, 60, b ? 64 : 160);
    if (r.id == -1) { V c = sky(s, d); out = out + carry * c * (b ? 1.f : 0.7f); return; }
    V p = o + d * r.t, n = r.n, geo = r.n; Surf f = at(w, r, p, n, b == 0);
    if (b == 0) { rust = f.rust > 0.5f; part = f.part; }
    V view = d * -1.f, from = p + geo * 0.003f;
    V sun = norm(readv(s + 9) + v3(rnd(g) - 0.5f, rnd(g) - 0.5f, rnd(g) - 0.5f) * s[15]);
    if (s[12] > 0 && dot(geo, sun) > 0 && !blocked(w, from, sun, 20)) out = out + carry * lit(w, f, p, n, view, sun, readv(s + 12));
    V lp = readv(s + 25) + v3(rnd(g) - 0.5f, rnd(g) - 0.5f, rnd(g) - 0.5f) * (2 * s[28]), to = lp - p; float dist = len(to); to = to * (1 / dist);
    if (s[29] > 0 && dot(geo, to) > 0 && !blocked(w, from, to, dist)) out = out + carry * lit(w, f, p, n, view, to, readv(s + 29) * (1 / (dist * dist)));
    if (b == 2) return;
    float fr = powf(1 - mx(dot(n, view), 0), 5); V F = f.f0 + (v1(1) - f.f0) * (fr * (1 - f.rough * 0.7f));
    float ps = clampf((F.x + F.y + F.z) * 0.3333f, 0.08f, 0.95f), u = rnd(g), v = rnd(g) * 6.2831853f;
    if (rnd(g) < ps) {
      float a = f.rough * f.rough, ct = sqrtf((1 - u) / (1 + (a * a - 1) * u)), st = sqrtf(mx(0.f, 1 - ct * ct));
      V h = basis(n, st * cosf(v), st * sinf(v), ct); d = norm(d - h * (2 * dot(d, h)));
      if (dot(d, geo) <= 0) return;
      carry = carry * F * (1 / ps);
    } else {
      float st = sqrtf(u); d = basis(n, st * cosf(v), st * sinf(v), sqrtf(1 - u));
      if (dot(d, geo) <= 0) return;
      carry = carry * f.albedo * ((1 - f.metal) / (1 - ps));
    }
    carry = v3(mn(carry.x, 2.5f), mn(carry.y, 2.5f), mn(carry.z, 2.5f));
    o = from;
  }
}
HD void pixel(const World& w, int x, int y, int W, int H, int spp, uint32_t seed, float* out) {
  const float* s = w.s; V eye = readv(s), f = norm(readv(s + 3) - eye), rt = norm(cross(f, v3(0, 1, 0))), up = cross(rt, f);
  float roll = s[55]; V r2 = rt * cosf(roll) + up * sinf(roll), u2 = up * cosf(roll) - rt * sinf(roll);
  Rng g; g.s = mixbits(seed ^ mixbits((uint32_t)(y * 8192 + x))); V sum = v1(0); float rust = 0, part = 0;
  for (int i = 0; i < spp; i++) {
    float px = (x + rnd(g) - 0.5f * W) / (0.5f * mx((float)W, (float)H)), py = (0.5f * H - y - rnd(g)) / (0.5f * mx((float)W, (float)H));
    V d = f + r2 * (px * s[6]) + u2 * (py * s[6]), focal = eye + d * s[8];
    float a = rnd(g) * 6.2831853f, rr = sqrtf(rnd(g)) * s[7]; V o = eye + r2 * (rr * cosf(a)) + u2 * (rr * sinf(a));
    V c; float m, q; sample(w, o, norm(focal - o), g, c, m, q);
    float top = mx(c.x, mx(c.y, c.z)); if (top > 12) c = c * (12 / top);
    if (c.x == c.x && c.y == c.y && c.z == c.z) sum = sum + c;
    rust += m; part += q;
  }
  float k = 1.f / spp; out[0] = sum.x * k; out[1] = sum.y * k; out[2] = sum.z * k; out[3] = rust * k; out[4] = part * k;
}

// Lowest point of an object below its own origin, by a grid of 44 x 44 x 44, in world units
extern "C" float lowest(const float* o) {
  float low = 0, R = o[14] * o[13];
  for (int j = 0; j < 60; j++) for (int i = 0; i < 44; i++) for (int k = 0; k < 44; k++) {
    V p = v3((i / 43.f * 2 - 1) * R, (j / 59.f * 2 - 1) * R, (k / 43.f * 2 - 1) * R);
    if (p.y >= low) continue;
    V l = v3(dot(readv(o + 1), p), dot(readv(o + 4), p), dot(readv(o + 7), p)) * (1 / o[13]);
    if (local(o, l) * o[13] < R * 0.02f) low = p.y;
  }
  return low;
}

#ifdef __CUDACC__
__global__ void kernel(World w, int W, int H, int spp, uint32_t seed, float* out) {
  int x = blockIdx.x * 8 + threadIdx.x, y = blockIdx.y * 8 + threadIdx.y;
  if (x < W && y < H) pixel(w, x, y, W, H, spp, seed, out + (size_t)(y * W + x) * 5);
}
static uint8_t* gAtlas = 0; static float *gScene = 0, *gOut = 0; static size_t gSize = 0;
extern "C" int render(const float* scene, int nfloat, int W, int H, int spp, unsigned seed, const uint8_t* atlas, int ntex, float* out) {
  if (!gAtlas) { cudaMalloc(&gAtlas, (size_t)ntex * 49152); cudaMemcpy(gAtlas, atlas, (size_t)ntex * 49152, cudaMemcpyHostToDevice); cudaMalloc(&gScene, 65536); }
  size_t need = (size_t)W * H * 5 * 4;
  if (need > gSize) { if (gOut) cudaFree(gOut); cudaMalloc(&gOut, need); gSize = need; }
  cudaMemcpy(gScene, scene, nfloat * 4, cudaMemcpyHostToDevice);
  World w; w.s = gScene; w.atlas = gAtlas; w.n = (int)scene[53];
  kernel<<<dim3((W + 7) / 8, (H + 7) / 8), dim3(8, 8)>>>(w, W, H, spp, seed, gOut);
  cudaMemcpy(out, gOut, need, cudaMemcpyDeviceToHost);
  return (int)cudaGetLastError();
}
#else
extern "C" int render(const float* scene, int nfloat, int W, int H, int spp, unsigned seed, const uint8_t* atlas, int ntex, float* out) {
  World w; w.s = scene; w.atlas = atlas; w.n = (int)scene[53];
#pragma omp parallel for schedule(dynamic, 4)
  for (int y = 0; y < H; y++) for (int x = 0; x < W; x++) pixel(w, x, y, W, H, spp, seed, out + (size_t)(y * W + x) * 5);
  return 0;
}
#endif
