// Small vector maths and layered noise, for the processor and the graphics card alike.
#pragma once
#include <math.h>
#include <stdint.h>
#ifdef __CUDACC__
#define HD __host__ __device__ inline
#else
#define HD inline
#endif

struct V { float x, y, z; };
HD V v3(float x, float y, float z) { V r; r.x = x; r.y = y; r.z = z; return r; }
HD V v1(float s) { return v3(s, s, s); }
HD V operator+(V a, V b) { return v3(a.x + b.x, a.y + b.y, a.z + b.z); }
HD V operator-(V a, V b) { return v3(a.x - b.x, a.y - b.y, a.z - b.z); }
HD V operator*(V a, V b) { return v3(a.x * b.x, a.y * b.y, a.z * b.z); }
HD V operator*(V a, float s) { return v3(a.x * s, a.y * s, a.z * s); }
HD float dot(V a, V b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
HD V cross(V a, V b) { return v3(a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x); }
HD float len(V a) { return sqrtf(dot(a, a)); }
HD V norm(V a) { return a * (1.f / (len(a) + 1e-12f)); }
HD float len2(float x, float y) { return sqrtf(x * x + y * y); }
HD float mn(float a, float b) { return a < b ? a : b; }
HD float mx(float a, float b) { return a > b ? a : b; }
HD float clampf(float x, float a, float b) { return mn(mx(x, a), b); }
HD float mixf(float a, float b, float t) { return a + (b - a) * t; }
HD V mixv(V a, V b, float t) { return a + (b - a) * t; }
HD float smooth(float a, float b, float x) { float t = clampf((x - a) / (b - a), 0, 1); return t * t * (3 - 2 * t); }
HD float smin(float a, float b, float k) { float h = mx(k - fabsf(a - b), 0.f) / k; return mn(a, b) - h * h * k * 0.25f; }
HD V readv(const float* p) { return v3(p[0], p[1], p[2]); }

HD uint32_t mixbits(uint32_t x) { x ^= x >> 16; x *= 0x7feb352dU; x ^= x >> 15; x *= 0x846ca68bU; x ^= x >> 16; return x; }
HD float cell(int x, int y, int z) { return mixbits((uint32_t)x * 73856093u ^ (uint32_t)y * 19349663u ^ (uint32_t)z * 83492791u) * (1.f / 4294967296.f); }
HD float noise(V p) {
  float fx = floorf(p.x), fy = floorf(p.y), fz = floorf(p.z);
  int x = (int)fx, y = (int)fy, z = (int)fz;
  float u = p.x - fx, v = p.y - fy, w = p.z - fz;
  u = u * u * (3 - 2 * u); v = v * v * (3 - 2 * v); w = w * w * (3 - 2 * w);
  float a = mixf(mixf(cell(x, y, z), cell(x + 1, y, z), u), mixf(cell(x, y + 1, z), cell(x + 1, y + 1, z), u), v);
  float b = mixf(mixf(cell(x, y, z + 1), cell(x + 1, y, z + 1), u), mixf(cell(x, y + 1, z + 1), cell(x + 1, y + 1, z + 1), u), v);
  return mixf(a, b, w);
}
// Layered noise, 0 ... 1 with mean one half
HD float fbm(V p, int octaves) {
  float s = 0, a = 0.5f, t = 0;
  for (int i = 0; i < octaves; i++) { s += a * noise(p); t += a; a *= 0.55f; p = v3(p.y * 2.03f + 7.1f, p.z * 2.01f + 3.7f, p.x * 2.02f + 1.3f); }
  return clampf((s / t - 0.5f) * 1.6f + 0.5f, 0, 1);
}
// Round spots of random size: 1 at a spot's middle, 0 outside
HD float spots(V p, float density) {
  int x = (int)floorf(p.x), y = (int)floorf(p.y), z = (int)floorf(p.z);
  float best = 0;
  for (int k = 0; k < 27; k++) {
    int i = x + k % 3 - 1, j = y + (k / 3) % 3 - 1, l = z + k / 9 - 1;
    float h = cell(i * 3 + 11, j * 5 + 7, l * 7 + 3);
    if (h > density) continue;
    float r = 0.15f + 0.65f * cell(i + 91, j + 17, l + 53) * cell(i + 191, j + 117, l + 153);
    V c = v3(i + cell(i, j, l + 999), j + cell(i + 999, j, l), l + cell(i, j + 999, l));
    best = mx(best, 1 - len(p - c) / r);
  }
  return best;
}
struct Rng { uint32_t s; };
HD float rnd(Rng& r) { r.s = r.s * 747796405u + 2891336453u; uint32_t w = ((r.s >> ((r.s >> 28) + 4)) ^ r.s) * 277803737u; w = (w >> 22) ^ w; return w * (1.f / 4294967296.f); }
HD V basis(V n, float a, float b, float c) {  // a along a tangent, b along the other, c along n
  V t = fabsf(n.y) < 0.9f ? norm(cross(n, v3(0, 1, 0))) : norm(cross(n, v3(1, 0, 0)));
  return t * a + cross(n, t) * b + n * c;
}
