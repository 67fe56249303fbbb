/* The yardstick of scripts/bench_paths.py: the method of arsenal/kernels/march.py and marks.py in plain C.
   Paths side by side in blocks, fourth-order Runge-Kutta over even steps of distance, then the same marks. */
#include <math.h>
#include <stdlib.h>

#define LANES 64
#define WIDE (LANES + 8)
#define MARKS 15
#define TINY 1e-12

typedef struct {
    const double *rows, *along;
    const long *row_of;
    long nodes, stations, lanes;
    double spacing;
} film_t;

typedef struct {
    const double *y, *vx, *vy, *ux, *uy, *budget;
    const double *dry, *oil, *sigma, *scale, *left, *gain, *length;
} paths_t;

typedef struct {
    double y[LANES], s[LANES], w[LANES], vx[LANES], vy[LANES], ux[LANES], uy[LANES], budget[LANES], slowest[LANES];
    double dry[LANES], wet[LANES], scale[LANES], left[LANES], gain[LANES], per_length[LANES];
    double at_y[LANES], at_s[LANES], at_w[LANES], sum_y[LANES], sum_s[LANES], sum_w[LANES];
    double share[LANES], film[LANES], next[LANES], along[LANES], pull[LANES];
    long node[LANES];
} block_t;

typedef struct {
    const double *y, *s, *pull;
    long last;
    double h, vx, vy, ux, uy, budget;
} ridden_t;

static void load(block_t *b, const paths_t *p, long first, long n, double g) {
    for (long i = 0; i < n; i++) {
        long k = first + i;
        double per_sigma = 1.0 / p->sigma[k], end = p->vx[k] - p->ux[k] * p->budget[k];
        b->y[i] = p->y[k]; b->s[i] = 0.0; b->w[i] = 0.0;
        b->vx[i] = p->vx[k]; b->vy[i] = p->vy[k]; b->ux[i] = p->ux[k]; b->uy[i] = p->uy[k];
        b->budget[i] = p->budget[k];
        b->slowest[i] = 0.2 * (end < p->vx[k] ? end : p->vx[k]);
        b->wet[i] = p->oil[k] * g; b->dry[i] = (p->dry[k] - p->oil[k]) * g;
        b->scale[i] = p->scale[k] * per_sigma; b->left[i] = p->left[k] * per_sigma;
        b->gain[i] = p->gain[k] * per_sigma; b->per_length[i] = 1.0 / p->length[k];
    }
}

static void begin(block_t *restrict b, long n) {
    for (long i = 0; i < n; i++) {
        b->at_y[i] = b->y[i]; b->at_s[i] = b->s[i]; b->at_w[i] = b->w[i];
        b->sum_y[i] = b->sum_s[i] = b->sum_w[i] = 0.0;
    }
}

static void look(block_t *restrict b, const film_t *f, const long *maps, long n, long station) {
    const double per_spacing = 1.0 / f->spacing, last = f->nodes - 1.0000001;
    for (long i = 0; i < n; i++) {
        double place = b->at_y[i] * per_spacing;
        place = place < 0.0 ? 0.0 : place;
        place = place > last ? last : place;
        long node = (long)place;
        b->node[i] = node; b->share[i] = place - node;
    }
    if (f->lanes == 1) {
        long row = f->row_of[station] * f->nodes;
        double along = f->along[station];
        for (long i = 0; i < n; i++) {
            long k = b->node[i] + row;
            b->film[i] = f->rows[k]; b->next[i] = f->rows[k + 1]; b->along[i] = along;
        }
        return;
    }
    for (long i = 0; i < n; i++) {
        long lane = maps[i], k = b->node[i] + f->row_of[lane * f->stations + station] * f->nodes;
        b->film[i] = f->rows[k]; b->next[i] = f->rows[k + 1]; b->along[i] = f->along[lane * f->stations + station];
    }
}

static void rates(block_t *restrict b, long n, const double *restrict t, double weight, double ahead) {
    for (long i = 0; i < n; i++) {
        double s = b->at_s[i], w = b->at_w[i];
        double film = (b->film[i] + (b->next[i] - b->film[i]) * b->share[i]) * b->along[i];
        double ratio = film * b->scale[i] + b->left[i] + w;
        ratio = ratio < 0.0 ? 0.0 : ratio;
        double vx = b->vx[i] - b->ux[i] * s;
        vx = vx > b->slowest[i] ? vx : b->slowest[i];
        double both = 1.0 / ((1.0 + ratio) * vx), rest = both * vx, per_vx = both * (1.0 + ratio);
        double r = sqrt(ratio * rest);
        double high = t[6] + r * (t[7] + r * (t[8] + r * (t[9] + r * (t[10] + r * (t[11] + r * t[12])))));
        double series = t[0] + r * (t[1] + r * (t[2] + r * (t[3] + r * (t[4] + r * (t[5] + r * high)))));
        double pull = b->dry[i] * (series * rest * rest) + b->wet[i];
        double dy = (b->vy[i] - b->uy[i] * s) * per_vx, ds = pull * per_vx;
        double dw = (b->gain[i] * film - w) * b->per_length[i];
        b->pull[i] = pull;
        b->sum_y[i] += weight * dy; b->sum_s[i] += weight * ds; b->sum_w[i] += weight * dw;
        b->at_y[i] = b->y[i] + ahead * dy; b->at_s[i] = b->s[i] + ahead * ds; b->at_w[i] = b->w[i] + ahead * dw;
    }
}

static void finish(block_t *restrict b, long n, double sixth) {
    for (long i = 0; i < n; i++) {
        b->y[i] += sixth * b->sum_y[i]; b->s[i] += sixth * b->sum_s[i]; b->w[i] += sixth * b->sum_w[i];
    }
}

static long run(block_t *b, const film_t *f, const long *maps, long n, const double *t, double length,
                double *y, double *s, double *pull) {
    long steps = (f->stations - 1) / 2;
    double h = length / steps;
    for (long step = 0; step <= steps; step++) {
        begin(b, n);
        look(b, f, maps, n, 2 * step);
        rates(b, n, t, 1.0, 0.5 * h);
        long slides = 0;
        for (long i = 0; i < n; i++) {
            y[step * WIDE + i] = b->y[i]; s[step * WIDE + i] = b->s[i]; pull[step * WIDE + i] = b->pull[i];
            slides += b->s[i] < b->budget[i];
        }
        if (step == steps || !slides) return step;
        look(b, f, maps, n, 2 * step + 1); rates(b, n, t, 2.0, 0.5 * h);
        look(b, f, maps, n, 2 * step + 1); rates(b, n, t, 2.0, h);
        look(b, f, maps, n, 2 * step + 2); rates(b, n, t, 1.0, 0.0);
        finish(b, n, h / 6.0);
    }
    return steps;
}

static double down(const ridden_t *p, double s) {
    double v = p->vx - p->ux * s;
    return v > 1e-3 * p->vx ? v : 1e-3 * p->vx;
}

static double cubic(double a, double b, double da, double db, double q) {
    double rise = b - a;
    return a + q * (da + q * (3.0 * rise - 2.0 * da - db + q * (da + db - 2.0 * rise)));
}

static double spent_inside(const ridden_t *p, long k, double q) {
    double a = p->s[k * WIDE], b = p->s[(k + 1) * WIDE];
    return cubic(a, b, p->h * p->pull[k * WIDE] / down(p, a), p->h * p->pull[(k + 1) * WIDE] / down(p, b), q);
}

static double lateral_inside(const ridden_t *p, long k, double q) {
    double a = p->s[k * WIDE], b = p->s[(k + 1) * WIDE];
    return cubic(p->y[k * WIDE], p->y[(k + 1) * WIDE], p->h * (p->vy - p->uy * a) / down(p, a),
                 p->h * (p->vy - p->uy * b) / down(p, b), q);
}

static long first_past(const ridden_t *p, double level, long at) {
    while (at <= p->last && p->s[at * WIDE] < level) at++;
    return at;
}

static double crossing(const ridden_t *p, double level, long high, double length) {
    if (level <= 0.0) return 0.0;
    if (high > p->last) {
        double s = p->s[p->last * WIDE], pull = p->pull[p->last * WIDE];
        return pull <= 1e-9 ? NAN : length + (p->vx - p->ux * 0.5 * (level + s)) * (level - s) / pull;
    }
    long low = high - 1;
    double a = p->s[low * WIDE], b = p->s[high * WIDE], rise = b - a, q = rise > TINY ? (level - a) / rise : 0.0;
    double da = p->h * p->pull[low * WIDE] / down(p, a), db = p->h * p->pull[high * WIDE] / down(p, b);
    double second = 3.0 * rise - 2.0 * da - db, third = da + db - 2.0 * rise;
    for (int n = 0; n < 2; n++) {
        double steep = da + q * (2.0 * second + q * 3.0 * third);
        double gap = a + q * (da + q * (second + q * third)) - level;
        if (fabs(steep) > TINY) q -= gap / steep;
        q = q < 0.0 ? 0.0 : q > 1.0 ? 1.0 : q;
    }
    return (low + q) * p->h;
}

static double lateral_at(const ridden_t *p, double x) {
    long k = (long)(x / p->h);
    k = k < 0 ? 0 : k > p->last - 1 ? p->last - 1 : k;
    return lateral_inside(p, k, x / p->h - k);
}

static double spent_at(const ridden_t *p, double x) {
    long k = (long)(x / p->h);
    double s = k >= p->last ? p->s[p->last * WIDE] : spent_inside(p, k, x / p->h - k);
    return s < p->budget ? s : p->budget;
}

static double leaves(const ridden_t *p, double roll_at, double y_roll, double slope, double length, double width) {
    if (p->y[0] < 0.0 || p->y[0] > width) return 0.0;
    for (long k = 0; k < p->last && k * p->h < roll_at; k++) {
        double end = roll_at / p->h - k < 1.0 ? roll_at / p->h - k : 1.0, y = end == 1.0 ? p->y[(k + 1) * WIDE] : y_roll;
        if (y < 0.0 || y > width) {
            double edge = y < 0.0 ? 0.0 : width, low = 0.0, high = end;
            for (int n = 0; n < 40; n++) {
                double middle = 0.5 * (low + high);
                if ((lateral_inside(p, k, middle) > edge) == (y > edge)) high = middle; else low = middle;
            }
            return (k + high) * p->h;
        }
    }
    double landing = y_roll + slope * (length - roll_at);
    if (landing >= 0.0 && landing <= width) return NAN;
    return roll_at + ((landing < 0.0 ? 0.0 : width) - y_roll) / slope;
}

static double reach(const ridden_t *p, double turn, double level, double roll_at, double y_roll, double slope) {
    long k = (long)(turn / p->h);
    double near = turn, y_near = p->y[(k < p->last ? k : p->last) * WIDE];
    for (; k >= 0 && p->y[k * WIDE] < level; k--) { near = k * p->h; y_near = p->y[k * WIDE]; }
    if (k >= 0) near -= p->h * (level - y_near) / fmax(p->y[k * WIDE] - y_near, TINY);
    double far = turn, y_far = lateral_at(p, turn);
    for (k = (long)(turn / p->h) + 1; k <= p->last && k * p->h < roll_at && p->y[k * WIDE] < level; k++) {
        far = k * p->h; y_far = p->y[k * WIDE];
    }
    if (k <= p->last && k * p->h < roll_at)
        return far + p->h * (level - y_far) / fmax(p->y[k * WIDE] - y_far, TINY) - near;
    return slope > TINY ? roll_at + fmax((level - y_roll) / slope, 0.0) - near : INFINITY;
}

static void turn_of(const ridden_t *p, double roll_at, double y_roll, double slope, double length, double near,
                    double *out) {
    out[5] = out[6] = NAN; out[7] = 0.0;
    if (p->vy >= 0.0 || p->uy >= 0.0 || p->vy / p->uy >= p->budget) return;
    double level = p->vy / p->uy, turn = crossing(p, level, first_past(p, level, 0), length);
    if (!(turn < length)) return;
    out[5] = turn; out[6] = lateral_at(p, turn);
    out[7] = reach(p, turn, out[6] + near, roll_at, y_roll, slope);
}

static void read_marks(const ridden_t *p, double length, double width, double oil_end, double near, double *out) {
    long station = 0;
    for (int i = 0; i < 4; i++) {
        double level = 0.25 * (i + 1) * p->budget;
        station = first_past(p, level, station);
        out[1 + i] = crossing(p, level, station, length);
    }
    double roll_at = out[4] < length ? out[4] : length;
    double slope = (p->vy - p->uy * p->budget) / (p->vx - p->ux * p->budget), y_roll = lateral_at(p, roll_at);
    out[0] = y_roll + slope * (length - roll_at);
    turn_of(p, roll_at, y_roll, slope, length, near, out);
    double s = p->s[p->last * WIDE] < p->budget ? p->s[p->last * WIDE] : p->budget;
    double vx = down(p, s), vy = p->vy - p->uy * s;
    out[8] = atan2(vy, vx); out[11] = hypot(vx, vy);
    out[9] = p->budget > 0.0 ? 1.0 - spent_at(p, oil_end) / p->budget : 0.0;
    out[10] = p->budget > 0.0 ? 1.0 - s / p->budget : 0.0;
    double low = fmin(y_roll, out[0]), high = fmax(y_roll, out[0]);
    for (long k = 0; k <= p->last && k * p->h < roll_at; k++) {
        low = p->y[k * WIDE] < low ? p->y[k * WIDE] : low;
        high = p->y[k * WIDE] > high ? p->y[k * WIDE] : high;
    }
    if (out[6] < low) low = out[6];
    out[13] = low; out[14] = high;
    out[12] = low >= 0.0 && high <= width ? NAN : leaves(p, roll_at, y_roll, slope, length, width);
}

void ride(long n, const film_t *f, const paths_t *p, const long *maps, const double *terms, double gravity,
          double length, double width, double near, const double *oil_end, double *out) {
    long steps = (f->stations - 1) / 2;
    block_t *b = aligned_alloc(64, (sizeof(block_t) + 63) / 64 * 64);
    double *y = malloc(3 * (steps + 1) * WIDE * sizeof(double)), *s = y + (steps + 1) * WIDE, *pull = s + (steps + 1) * WIDE;
    for (long first = 0; first < n; first += LANES) {
        long count = n - first < LANES ? n - first : LANES;
        load(b, p, first, count, gravity);
        long done = run(b, f, maps + first, count, terms, length, y, s, pull);
        for (long i = 0; i < count; i++) {
            ridden_t r = {y + i, s + i, pull + i, done, length / steps, b->vx[i], b->vy[i], b->ux[i], b->uy[i], b->budget[i]};
            read_marks(&r, length, width, oil_end[maps[first + i]], near, out + (first + i) * MARKS);
        }
    }
    free(y);
    free(b);
}
