/*
 * The soil and weed stages of src/core, written again in plain C: the same equations in the same order, the same
 * columns, allocated once a run. The bench compiles it with kernel-data.h, which it writes from the library's own
 * constants, so that the two cannot drift apart. Usage: kernel <columns file> <runs>
 * It prints the nanoseconds a field-day of the fastest and the middle run, then the sum of every column.
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "kernel-data.h"

#define PI 3.14159265358979323846
#define HOUR 3600.0
#define STEFAN_BOLTZMANN 5.67e-8
#define LATENT 2.45

static const double *tempMax, *tempMin, *rainMm, *coverFrac;

static double clamp(double v, double low, double high) { return v < low ? low : v > high ? high : v; }

/* ---- days ---- */

static void civil(long day, int *year, int *month, int *dom) {
  long z = day + 719468;
  long era = (z >= 0 ? z : z - 146096) / 146097;
  long doe = z - era * 146097;
  long yoe = (doe - doe / 1460 + doe / 36524 - doe / 146096) / 365;
  long doy = doe - (365 * yoe + yoe / 4 - yoe / 100);
  long mp = (5 * doy + 2) / 153;
  *dom = (int)(doy - (153 * mp + 2) / 5 + 1);
  *month = (int)(mp < 10 ? mp + 3 : mp - 9);
  *year = (int)(yoe + era * 400 + (*month <= 2));
}

static long dayOf(int year, int month, int dom) {
  long y = year - (month <= 2);
  long era = (y >= 0 ? y : y - 399) / 400;
  long yoe = y - era * 400;
  long doy = (153 * (month > 2 ? month - 3 : month + 9) + 2) / 5 + dom - 1;
  return era * 146097 + yoe * 365 + yoe / 4 - yoe / 100 + doy - 719468;
}

static int dayOfYear(long day) {
  int year, month, dom;
  civil(day, &year, &month, &dom);
  return (int)(day - dayOf(year, 1, 1) + 1);
}

/* First day with this month and day, as 100 month + day, that is not before `day`. */
static long firstOn(int monthDay, long day) {
  int year, month, dom;
  civil(day, &year, &month, &dom);
  long in = dayOf(year, monthDay / 100, monthDay % 100);
  return in >= day ? in : dayOf(year + 1, monthDay / 100, monthDay % 100);
}

/* ---- soil ---- */

static const double bottomCm[LAYERS] = LAYER_BOTTOMS_CM;
static const double nodeM[NODES] = NODE_DEPTHS_M;
static const double evaporationShares[3] = WATER_EVAPORATION_SHARES;
static const double rootShares[LAYERS] = WATER_ROOT_SHARES;
static double thickMm[LAYERS], gapM[NODES - 1], wilting[LAYERS], fieldCap[LAYERS], full[LAYERS];
static int gapLayer[NODES - 1];

static void layout(void) {
  for (int i = 0; i < LAYERS; i++) {
    thickMm[i] = 10 * (bottomCm[i] - (i ? bottomCm[i - 1] : 0));
    wilting[i] = thickMm[i] * SOIL_WILTING_POINT;
    fieldCap[i] = thickMm[i] * SOIL_FIELD_CAPACITY;
    full[i] = thickMm[i] * SOIL_SATURATION * WATER_FILL_FRAC;
  }
  for (int i = 0; i < NODES - 1; i++) {
    gapM[i] = nodeM[i + 1] - nodeM[i];
    double middle = 100 * (nodeM[i] + gapM[i] / 2);
    int k = 0;
    while (k < LAYERS - 1 && middle > bottomCm[k]) k++;
    gapLayer[i] = k;
  }
}

typedef struct {
  double mean, solar, longwave, declination, sunrise, wind, reference;
} Sky;

static double saturation(double t) { return 0.6108 * exp((17.27 * t) / (t + 237.3)); }
static double slopeOf(double t) { return (4098 * saturation(t)) / ((t + 237.3) * (t + 237.3)); }

/* No radiation, wind or humidity was measured: what the benched series has. */
static void skyOf(Sky *sky, long i) {
  double max = tempMax[i], min = tempMin[i];
  int day = dayOfYear(START_DAY + i);
  double declination = 0.409 * sin((2 * PI * day) / 365 - 1.39);
  double phi = LATITUDE_DEG * PI / 180;
  double angle = acos(clamp(-tan(clamp(LATITUDE_DEG, -89.9, 89.9) * PI / 180) * tan(declination), -1, 1));
  double geometry = angle * sin(phi) * sin(declination) + cos(phi) * cos(declination) * sin(angle);
  double distance = 1 + 0.033 * cos((2 * PI * day) / 365);
  double top = fmax(0, ((24 * 60) / PI) * 0.082 * distance * geometry);
  double clear = (0.75 + 2e-5 * ELEVATION_M) * top;
  double solar = fmin(clear, WEATHER_SOLAR_ADJUSTMENT * sqrt(fmax(1, max - min)) * top);
  double cloud = clear > 0 ? clamp(1 - (solar / clear - 0.2) / 0.8, 0, 1) : 0.5;
  double vapour = saturation(min - WEATHER_DEW_DEPRESSION_C * (1 - cloud));
  sky->mean = (max + min) / 2;
  double kelvin = sky->mean + 273.15;
  double clearSky = 1.24 * pow((10 * vapour) / kelvin, 1.0 / 7);
  double emissivity = (1 - 0.84 * cloud) * clearSky + 0.84 * cloud;
  sky->solar = solar;
  sky->longwave = (emissivity - 1) * STEFAN_BOLTZMANN * kelvin * kelvin * kelvin * kelvin;
  sky->declination = declination;
  sky->sunrise = 12 - ((24 * angle) / PI) / 2;
  sky->wind = WEATHER_WIND_MPER_S;
  sky->reference = fmax(0, 0.0023 * (sky->mean + 17.8) * sqrt(fmax(0, max - min)) * 0.408 * top);
}

static double arc(double from, double to, double part) { return from + ((to - from) * (1 - cos(PI * part))) / 2; }

static void airOf(double *air, double maxBefore, double min, double max, double minAfter, double sunrise) {
  double night = 24 - WARMEST_HOUR + sunrise, rise = WARMEST_HOUR - sunrise;
  for (int h = 0; h < 24; h++) {
    double hour = h + 0.5;
    if (hour < sunrise) air[h] = arc(maxBefore, min, (hour + 24 - WARMEST_HOUR) / night);
    else if (hour < WARMEST_HOUR) air[h] = arc(min, max, (hour - sunrise) / rise);
    else air[h] = arc(max, minAfter, (hour - WARMEST_HOUR) / night);
  }
}

static void sunOf(double *sun, double declination) {
  double phi = LATITUDE_DEG * PI / 180;
  double a = sin(phi) * sin(declination), b = cos(phi) * cos(declination), sum = 0;
  for (int h = 0; h < 24; h++) {
    sun[h] = fmax(0, a - b * cos((PI * (h + 0.5)) / 12));
    sum += sun[h];
  }
  if (sum > 0)
    for (int h = 0; h < 24; h++) sun[h] /= sum;
}

typedef struct {
  double mm[LAYERS], snow, evaporation, transpiration, runoff, drainage;
} Water;

static double stored(const Water *w) {
  double sum = w->snow;
  for (int i = 0; i < LAYERS; i++) sum += w->mm[i];
  return sum;
}

static void waterDay(Water *w, const Sky *sky, double rain, double crop, double cover, double loose) {
  w->drainage = 0;
  double left = 0;
  if (sky->mean <= WATER_SNOW_TEMP_C) w->snow += rain;
  else {
    double meltable = WATER_MELT_MM_PER_CD * sky->mean, melt = w->snow - meltable < 0.01 ? w->snow : meltable;
    w->snow -= melt;
    left = rain + melt;
  }
  for (int i = 0; i < LAYERS && left > 0; i++) {
    double taken = fmin(left, fmax(0, full[i] - w->mm[i]));
    w->mm[i] += taken;
    left -= taken;
  }
  w->runoff = left;
  for (int i = LAYERS - 1; i >= 0; i--) {
    double spare = w->mm[i] - fieldCap[i];
    if (spare <= 0) continue;
    double room = i + 1 < LAYERS ? fmax(0, full[i + 1] - w->mm[i + 1]) : INFINITY;
    double flow = fmin(spare * SOIL_DRAIN_FRAC, room);
    w->mm[i] -= flow;
    if (i + 1 < LAYERS) w->mm[i + 1] += flow;
    else w->drainage = flow;
  }
  double demand = w->snow > 0 ? 0 : WATER_EVAPORATION_FACTOR * sky->reference * (1 - cover), total = 0;
  for (int i = 0; i < 3; i++) {
    double water = w->mm[i], dry = (i == 0 ? 0.5 : WATER_KEPT_FRAC) * wilting[i];
    double ease = i == 0 ? (water - dry) / (WATER_READILY_EVAPORATED_FRAC * (fieldCap[i] - dry))
                         : pow(clamp((water - wilting[i]) / (fieldCap[i] - wilting[i]), 0, 1), WATER_DRYING_POWER) *
                               (1 - PASS_SHIELD_FRAC * loose);
    double gain = i == 0 ? 1 + PASS_DRYING_GAIN_FRAC * loose : 1;
    double given = fmin(demand * evaporationShares[i] * gain * clamp(ease, 0, 1), fmax(0, water - dry));
    w->mm[i] = water - given;
    total += given;
  }
  w->evaporation = total;
  demand = WATER_TRANSPIRATION_FACTOR * sky->reference * crop * clamp(sky->mean / WATER_FULL_TRANSPIRATION_TEMP_C, 0, 1);
  total = 0;
  for (int i = 0; i < LAYERS; i++) {
    double available = fmax(0, w->mm[i] - wilting[i]);
    double wetness = available / (fieldCap[i] - wilting[i]);
    double given = fmin(available, demand * rootShares[i] * fmin(1, wetness / WATER_STRESS_FRAC));
    w->mm[i] -= given;
    total += given;
  }
  w->transpiration = total;
  for (int i = LAYERS - 2; i >= 0; i--) {
    double above = thickMm[i], below = thickMm[i + 1];
    double difference = w->mm[i + 1] / below - w->mm[i] / above;
    if (difference <= 0) continue;
    double wetness = clamp((w->mm[i + 1] - wilting[i + 1]) / (fieldCap[i + 1] - wilting[i + 1]), 0, 1);
    double flow = WATER_RISE_FACTOR * difference * fmin(above, below) * pow(wetness, WATER_RISE_POWER);
    double most = difference / (1 / above + 1 / below);
    double moved = fmin(flow, fmin(most, fmax(0, full[i] - w->mm[i])));
    w->mm[i] += moved;
    w->mm[i + 1] -= moved;
  }
}

static double conductivityOf(double water, double ice) {
  double wet = clamp(water / SOIL_SATURATION, 0, 1);
  double thawed = wet > 0.1 ? (log10(wet) + 1) * (THERMAL_SATURATED - THERMAL_DRY) : 0;
  double frozen = wet * (THERMAL_FROZEN_SATURATED - THERMAL_DRY);
  return THERMAL_DRY + thawed + ice * (frozen - thawed);
}

typedef struct {
  double water, density, cover, resistance;
} Snow;

static void settleSnow(Snow *snow, double water) {
  double fresh = fmax(0, water - snow->water);
  snow->water = water;
  if (water == 0) {
    snow->cover = 0;
    return;
  }
  double settled = SNOW_SETTLED_KG_PER_M3 - (SNOW_SETTLED_KG_PER_M3 - snow->density) * exp(-SNOW_SETTLING_PER_DAY);
  snow->density = (settled * (water - fresh) + SNOW_NEW_KG_PER_M3 * fresh) / water;
  double depth = water / snow->density, density = snow->density / 1000;
  double conductivity = density < 0.156 ? 0.023 + 0.234 * density : 0.138 - 1.01 * density + 3.233 * density * density;
  snow->cover = fmin(1, depth / SNOW_CLOSED_DEPTH_M);
  snow->resistance = fmax(depth, SNOW_CLOSED_DEPTH_M) / conductivity;
}

static double potentialOf(double water) {
  if (water >= SOIL_SATURATION) return 0;
  if (water > SOIL_FIELD_CAPACITY)
    return -(33 - ((water - SOIL_FIELD_CAPACITY) * (33 - SOIL_AIR_ENTRY_KPA)) / (SOIL_SATURATION - SOIL_FIELD_CAPACITY)) / 1000;
  return fmax(-15, -(SOIL_A * pow(fmax(water, 1e-4), -SOIL_B)) / 1000);
}

typedef struct {
  double t[NODES], conductance[NODES - 1], perHour[NODES], link[NODES], pivot[NODES], ice[NODES], mostIce[NODES], before[NODES];
  int phase[NODES], hasFrost;
  double exchange;
} Heat;

enum { THAWED, PARTLY, FROZEN_THROUGH };
#define PHASE_CHANGE 1e12

static void factor(Heat *heat) {
  double previous = 0;
  for (int i = 0; i < NODES; i++) {
    double up = i > 0 ? heat->conductance[i - 1] : heat->exchange, down = i < NODES - 1 ? heat->conductance[i] : 0;
    heat->link[i] = i > 0 ? heat->conductance[i - 1] * previous : 0;
    heat->pivot[i] = 1 / ((heat->phase[i] == PARTLY ? PHASE_CHANGE : heat->perHour[i]) + up + down - (i > 0 ? heat->link[i] * heat->conductance[i - 1] : 0));
    previous = heat->pivot[i];
  }
}

static void factorDay(Heat *heat, const double *lambda, const double *layerCapacity, const double *freezable, double exchange) {
  memset(heat->perHour, 0, sizeof heat->perHour);
  memset(heat->mostIce, 0, sizeof heat->mostIce);
  for (int i = 0; i < NODES - 1; i++) {
    int k = gapLayer[i];
    heat->conductance[i] = lambda[k] / gapM[i];
    double capacity = (gapM[i] * layerCapacity[k]) / (2 * HOUR), freezing = (gapM[i] * 334e6 * freezable[k]) / (2 * HOUR);
    heat->perHour[i] += capacity;
    heat->perHour[i + 1] += capacity;
    heat->mostIce[i] += freezing;
    heat->mostIce[i + 1] += freezing;
  }
  for (int i = 0; i < NODES; i++) heat->mostIce[i] = fmax(heat->mostIce[i], heat->ice[i]);
  heat->exchange = exchange;
  factor(heat);
}

static int phasesChanged(Heat *heat, int one) {
  int changed = 0;
  for (int i = 0; i < NODES; i++) {
    double t = heat->t[i], frozen = -PHASE_CHANGE * t;
    int now = heat->phase[i], next = now;
    if (now == THAWED && t < 0) next = PARTLY;
    else if (now == FROZEN_THROUGH && t > 0) next = PARTLY;
    else if (now == PARTLY) next = frozen < 0 ? THAWED : frozen > heat->mostIce[i] ? FROZEN_THROUGH : PARTLY;
    if (next == now) continue;
    heat->phase[i] = next;
    changed = 1;
    if (one) break;
  }
  return changed;
}

static void frostHour(Heat *heat, double gain) {
  double *t = heat->t;
  for (int round = 0; round < 200; round++) {
    for (int i = 0; i < NODES; i++)
      t[i] = heat->perHour[i] * heat->before[i] - heat->ice[i] + (heat->phase[i] == FROZEN_THROUGH ? heat->mostIce[i] : 0) +
             (i == 0 ? gain : heat->link[i] * t[i - 1]);
    t[NODES - 1] *= heat->pivot[NODES - 1];
    for (int i = NODES - 2; i >= 0; i--) t[i] = (t[i] + heat->conductance[i] * t[i + 1]) * heat->pivot[i];
    if (!phasesChanged(heat, round >= 10)) break;
    factor(heat);
  }
  heat->hasFrost = 0;
  for (int i = 0; i < NODES; i++) {
    heat->ice[i] = heat->phase[i] == THAWED ? 0 : heat->phase[i] == FROZEN_THROUGH ? heat->mostIce[i] : -PHASE_CHANGE * t[i];
    if (heat->phase[i] == PARTLY) t[i] = 0;
    heat->hasFrost |= heat->phase[i] != THAWED;
  }
}

static void heatHour(Heat *heat, double gain) {
  double *t = heat->t;
  memcpy(heat->before, t, sizeof heat->before);
  if (!heat->hasFrost) {
    t[0] = heat->perHour[0] * t[0] + gain;
    for (int i = 1; i < NODES; i++) t[i] = heat->perHour[i] * t[i] + heat->link[i] * t[i - 1];
    t[NODES - 1] *= heat->pivot[NODES - 1];
    for (int i = NODES - 2; i >= 0; i--) t[i] = (t[i] + heat->conductance[i] * t[i + 1]) * heat->pivot[i];
    if (t[0] >= 0) return;
  }
  frostHour(heat, gain);
}

enum { MEAN5, MAX5, MIN5, MEAN10, WATER0, SURFACE = WATER0 + LAYERS, SEEDBED, REFERENCE, EVAPORATION, TRANSPIRATION,
       RUNOFF, DRAINAGE, SNOW, FROZEN, CRUSTED, SOIL_COLUMNS };

static const char *soilNames[SOIL_COLUMNS] = {
    "temp5MeanC", "temp5MaxC", "temp5MinC", "temp10MeanC", "water0", "water1", "water2", "water3", "water4", "water5",
    "surfacePotentialMPa", "seedbedPotentialMPa", "referenceEvaporationMm", "evaporationMm", "transpirationMm",
    "runoffMm", "drainageMm", "snowMm", "frozen", "crusted"};

static void soilDays(double **out, double *seedZone) {
  static const double first[NODES] = FIRST_PROFILE_C;
  Water w = {0};
  Heat heat = {0};
  Snow snow = {.density = SNOW_NEW_KG_PER_M3};
  Sky sky;
  static const int layerNode[LAYERS] = LAYER_NODES;
  double air[24], sun[24], content[LAYERS], freezable[LAYERS], lambda[LAYERS], capacity[LAYERS];
  int sealed = 0, crusted = 0, dryDays = 0;
  memcpy(heat.t, first, sizeof first);
  memcpy(w.mm, fieldCap, sizeof fieldCap);
  double resistance = log(2 / HEAT_ROUGHNESS_M) * log(20 / HEAT_ROUGHNESS_M);
  for (long i = 0; i < DAYS; i++) {
    skyOf(&sky, i);
    double rain = rainMm[i], cover = 1 - (1 - coverFrac[i]) * (1 - RESIDUE_COVER_FRAC);
    double before = stored(&w) + rain;
    waterDay(&w, &sky, rain, coverFrac[i], cover, 0);
    double explained = stored(&w) + w.evaporation + w.transpiration + w.runoff + w.drainage;
    if (!(fabs(before - explained) <= 1e-9)) exit(3);
    double wetness = clamp((w.mm[0] - wilting[0]) / (fieldCap[0] - wilting[0]), 0, 1);
    for (int k = 0; k < LAYERS; k++) {
      content[k] = w.mm[k] / thickMm[k];
      freezable[k] = fmax(0, content[k] - SOIL_WILTING_POINT);
      int node = layerNode[k];
      double ice = heat.ice[node] > 0 ? fmin(1, heat.ice[node] / heat.mostIce[node]) : 0;
      lambda[k] = HEAT_CONDUCTIVITY_FACTOR * conductivityOf(content[k], ice);
      capacity[k] = THERMAL_SOLID_CAPACITY + 4.18e6 * content[k];
    }
    settleSnow(&snow, w.snow);
    double exposure = (1 - snow.cover) * (1 - cover + HEAT_EXPOSURE_UNDER_COVER * cover);
    double absorbed = exposure * (1 - HEAT_ALBEDO_DRY + HEAT_ALBEDO_WET_DROP * wetness) * sky.solar;
    double longwave = exposure * sky.longwave;
    double slope = slopeOf(sky.mean);
    double limit = fmax(0, ((HEAT_PRIESTLEY_TAYLOR * slope) / (slope + GAMMA)) * ((absorbed + (longwave * 86400) / 1e6) / LATENT));
    double latent = LATENT * fmin(HEAT_LATENT_SHARE * w.evaporation, limit);
    double kelvin = sky.mean + 273.15;
    double radiative = 4 * STEFAN_BOLTZMANN * kelvin * kelvin * kelvin;
    double convective = 1200 / (resistance / (0.41 * 0.41 * fmax(0.3, sky.wind)));
    double open = (radiative + convective) * (1 - HEAT_SHELTER_FRAC * cover);
    double exchange = open * (1 - snow.cover) + snow.cover / (1 / open + snow.resistance);
    factorDay(&heat, lambda, capacity, freezable, exchange);
    airOf(air, tempMax[i > 0 ? i - 1 : 0], tempMin[i], tempMax[i], tempMin[i < DAYS - 1 ? i + 1 : DAYS - 1], sky.sunrise);
    sunOf(sun, sky.declination);
    double sum5 = 0, sum10 = 0, max5 = -100, min5 = 100, *t = heat.t;
    for (int h = 0; h < 24; h++) {
      heatHour(&heat, (1e6 / 3600) * (absorbed - latent) * sun[h] + longwave + exchange * air[h]);
      seedZone[i * 24 + h] = 0.1 * t[0] + 0.25 * t[1] + 0.4 * t[2] + 0.25 * t[3];
      sum5 += t[3];
      sum10 += t[5];
      if (t[3] > max5) max5 = t[3];
      if (t[3] < min5) min5 = t[3];
    }
    double threeDays = rain + (i > 0 ? rainMm[i - 1] : 0) + (i > 1 ? rainMm[i - 2] : 0);
    if (crusted && rain >= CRUST_SOFTENING_RAIN_MM) sealed = crusted = dryDays = 0;
    if (CRUST_PRONE && (rain >= CRUST_DAY_RAIN_MM || threeDays >= CRUST_THREE_DAY_RAIN_MM) && cover <= CRUST_MOST_COVER_FRAC) {
      sealed = 1;
      dryDays = 0;
    } else if (sealed) {
      dryDays += wetness < CRUST_DRY_FRAC && tempMax[i] >= CRUST_BAKING_TEMP_MAX_C;
      if (dryDays >= CRUST_DRY_DAYS) crusted = 1;
    }
    out[MEAN5][i] = sum5 / 24;
    out[MAX5][i] = max5;
    out[MIN5][i] = min5;
    out[MEAN10][i] = sum10 / 24;
    for (int k = 0; k < LAYERS; k++) out[WATER0 + k][i] = content[k];
    out[SURFACE][i] = potentialOf(content[0]);
    out[SEEDBED][i] = potentialOf(content[1]);
    out[REFERENCE][i] = sky.reference;
    out[EVAPORATION][i] = w.evaporation;
    out[TRANSPIRATION][i] = w.transpiration;
    out[RUNOFF][i] = w.runoff;
    out[DRAINAGE][i] = w.drainage;
    out[SNOW][i] = w.snow;
    out[FROZEN][i] = min5 <= 0;
    out[CRUSTED][i] = crusted;
  }
}

/* ---- weeds ---- */

typedef struct {
  int start, running;
  long next;
  double share, lag, scale, shape, time, done;
} Component;

typedef struct {
  double base, optimum, potential, surfaceShare, upBase, needed, leafBase;
  double ends[STAGES];
  int yearStart, diesOfFrost, components;
  Component component[4];
} Species;

static const Species species[SPECIES] = SPECIES_TABLE;

typedef struct {
  double *hourly, *lowest, *highest, *mean;
} Warmth;

static void warmthOf(Warmth *w) {
  for (long day = 0; day < DAYS; day++) {
    const double *t = w->hourly + 24 * day;
    double sum = 0, lowest = t[0], highest = t[0];
    for (int h = 0; h < 24; h++) {
      sum += t[h];
      if (t[h] < lowest) lowest = t[h];
      if (t[h] > highest) highest = t[h];
    }
    w->lowest[day] = lowest;
    w->highest[day] = highest;
    w->mean[day] = sum / 24;
  }
}

static double heatOf(const Warmth *w, long day, double base, double upper) {
  if (w->highest[day] <= base) return 0;
  if (w->lowest[day] >= base && w->highest[day] <= upper) return w->mean[day] - base;
  double sum = 0;
  const double *t = w->hourly + 24 * day;
  for (int h = 0; h < 24; h++)
    if (t[h] > base) sum += fmin(t[h], upper) - base;
  return sum / 24;
}

static double germinated(double time, const Component *c) {
  if (time <= c->lag) return 0;
  double power = exp(c->shape * log((time - c->lag) / c->scale));
  return power >= 21 ? 1 : 1 - exp(-power);
}

enum { GERMINATED, POTENTIAL, EMERGED, DEAD, STOCK0, WEED_COLUMNS = STOCK0 + STAGES };
static const char *weedNames[WEED_COLUMNS] = {"germinatedFrac", "potentialFrac", "emergedFrac", "deadFrac", "stock0",
                                              "stock1", "stock2", "stock3", "stock4", "stock5", "stock6"};

static double *column(long n) { return calloc((size_t)n, sizeof(double)); }

static void speciesDays(const Warmth *w, double **soil, double *const *out, const Species *one) {
  Species s = *one;
  double *up = column(DAYS + 1), *leaf = column(DAYS + 1), *threads = column(DAYS), *seedlings = column(DAYS),
         *born = column(DAYS), stock[STAGES] = {0}, upFrac = 0, sums[4] = {0};
  long left[STAGES] = {0}, upDay = 0, nextYear = firstOn(s.yearStart, START_DAY);
  for (int c = 0; c < s.components; c++) s.component[c].next = firstOn(s.component[c].start, START_DAY);
  for (long i = 0; i < DAYS; i++) {
    long day = START_DAY + i;
    if (day == nextYear) {
      for (int k = 1; k < STAGES; k++) {
        sums[DEAD] += stock[k];
        stock[k] = 0;
      }
      for (int k = 0; k < STAGES; k++) left[k] = i;
      nextYear = firstOn(s.yearStart, day + 1);
    } else if (s.diesOfFrost && nextYear - day <= FROST_HALF_DAYS && i > 0 && tempMin[i - 1] <= KILLING_FROST_C) {
      for (int k = 1; k < STAGES; k++) {
        sums[DEAD] += stock[k];
        stock[k] = 0;
      }
      for (int k = 0; k < STAGES; k++) left[k] = i;
    }
    left[0] = i;
    for (int k = 1; k < STAGES - 1; k++) {
      long until = left[k - 1], d = left[k];
      while (d < until && leaf[i] - (leaf[d] + leaf[d + 1]) / 2 >= s.ends[k]) {
        stock[k] -= seedlings[d];
        stock[k + 1] += seedlings[d];
        d++;
      }
      left[k] = d;
      if (d == until || stock[k] < 0) stock[k] = 0;
    }
    for (int k = 0; k < 4; k++) out[k][i] = sums[k];
    for (int k = 0; k < STAGES; k++) out[STOCK0 + k][i] = stock[k];

    double moist = isnan(s.potential) ? 1
                                      : (soil[SURFACE][i] >= s.potential ? s.surfaceShare : 0) +
                                            (soil[SEEDBED][i] >= s.potential ? 1 - s.surfaceShare : 0);
    double heat = moist > 0 ? moist * heatOf(w, i, s.base, s.optimum) : 0, germinating = 0;
    for (int c = 0; c < s.components; c++) {
      Component *k = &s.component[c];
      if (k->next == day) {
        k->next = firstOn(k->start, day + 1);
        k->time = k->done = 0;
        k->running = 1;
      }
      if (heat == 0 || !k->running) continue;
      k->time += heat;
      double share = germinated(k->time, k);
      germinating += k->share * (share - k->done);
      k->done = share;
      if (share == 1) k->running = 0;
    }
    born[i] = threads[i] = germinating;
    sums[GERMINATED] += germinating;
    stock[0] += germinating;
    up[i + 1] = up[i] + heatOf(w, i, s.upBase, INFINITY);
    double reached = up[i + 1] - s.needed, alive = 0;
    while (upDay <= i) {
      double from = up[upDay], to = up[upDay + 1];
      double part = reached >= to ? 1 : reached <= from ? 0 : (reached - from) / (to - from);
      if (part > upFrac) {
        alive += threads[upDay] * (part - upFrac);
        sums[POTENTIAL] += born[upDay] * (part - upFrac);
        upFrac = part;
      }
      if (part < 1) break;
      upDay++;
      upFrac = 0;
    }
    seedlings[i] = alive;
    sums[EMERGED] += alive;
    stock[0] = upDay > i ? 0 : fmax(0, stock[0] - alive);
    stock[1] += alive;
    leaf[i + 1] = leaf[i] + fmax(0, (tempMax[i] + tempMin[i]) / 2 - s.leafBase);
  }
  free(up), free(leaf), free(threads), free(seedlings), free(born);
}

/* ---- the run ---- */

static double sumsOut[1 + SOIL_COLUMNS + SPECIES * WEED_COLUMNS];

static double total(const double *values, long n) {
  double sum = 0;
  for (long i = 0; i < n; i++) sum += values[i];
  return sum;
}

static double now(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double run(int keepSums) {
  double *soil[SOIL_COLUMNS], *weeds[SPECIES * WEED_COLUMNS];
  double from = now();
  double *seedZone = column(24 * DAYS);
  for (int k = 0; k < SOIL_COLUMNS; k++) soil[k] = column(DAYS);
  soilDays(soil, seedZone);
  Warmth w = {seedZone, column(DAYS), column(DAYS), column(DAYS)};
  warmthOf(&w);
  for (int s = 0; s < SPECIES; s++) {
    for (int k = 0; k < WEED_COLUMNS; k++) weeds[s * WEED_COLUMNS + k] = column(DAYS);
    speciesDays(&w, soil, weeds + s * WEED_COLUMNS, &species[s]);
  }
  double ns = 1e9 * (now() - from) / DAYS;
  if (keepSums) {
    sumsOut[0] = total(seedZone, 24 * DAYS);
    for (int k = 0; k < SOIL_COLUMNS; k++) sumsOut[1 + k] = total(soil[k], DAYS);
    for (int k = 0; k < SPECIES * WEED_COLUMNS; k++) sumsOut[1 + SOIL_COLUMNS + k] = total(weeds[k], DAYS);
  }
  free(seedZone), free(w.lowest), free(w.highest), free(w.mean);
  for (int k = 0; k < SOIL_COLUMNS; k++) free(soil[k]);
  for (int k = 0; k < SPECIES * WEED_COLUMNS; k++) free(weeds[k]);
  return ns;
}

static int ascending(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

int main(int argc, char **argv) {
  if (argc != 3) return 2;
  int runs = atoi(argv[2]);
  double *columns = column(4L * DAYS), *ns = column(runs);
  FILE *file = fopen(argv[1], "rb");
  if (!file || fread(columns, sizeof(double), 4L * DAYS, file) != 4L * DAYS) return 2;
  fclose(file);
  tempMax = columns, tempMin = columns + DAYS, rainMm = columns + 2L * DAYS, coverFrac = columns + 3L * DAYS;
  layout();
  run(1);
  for (int r = 0; r < runs; r++) ns[r] = run(0);
  qsort(ns, (size_t)runs, sizeof(double), ascending);
  printf("ns %.17g %.17g\n", ns[0], ns[runs / 2]);
  printf("seedZoneTempC %.17g\n", sumsOut[0]);
  for (int k = 0; k < SOIL_COLUMNS; k++) printf("%s %.17g\n", soilNames[k], sumsOut[1 + k]);
  for (int s = 0; s < SPECIES; s++)
    for (int k = 0; k < WEED_COLUMNS; k++)
      printf("species%d.%s %.17g\n", s, weedNames[k], sumsOut[1 + SOIL_COLUMNS + s * WEED_COLUMNS + k]);
  return 0;
}
