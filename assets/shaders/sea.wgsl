// Sky and sea, each on its own side of the horizon: a processor that draws would work out both for every pixel. A line of
// sight goes to the sky, or meets the water, which mirrors the sky and the lights that are seen. Waves are a few sines; those too fine for a pixel widen the mirror image instead.
#import bevy_pbr::{forward_io::{Vertex, VertexOutput}, mesh_view_bindings::view}

struct Water {
    time: f32,
    pixel: f32,
    count: u32,
    star_square: f32,
    moon: vec4<f32>,
    // Haze for each metre; the moon's strength; the shore's lights, 0 to 1.
    air: vec4<f32>,
    places: array<vec4<f32>, 12>,
    colours: array<vec4<f32>, 12>,
}

@group(#{MATERIAL_BIND_GROUP}) @binding(0) var<uniform> water: Water;

// Every pixel goes through here, on a processor where there is no graphics card: powers, roots and exponentials are
// put as products and quotients that look the same.

// A smooth wave of height one; its argument counts whole waves.
fn swing(turns: f32) -> f32 {
    let t = abs(fract(turns) * 2.0 - 1.0);
    return t * t * (6.0 - 4.0 * t) - 1.0;
}

// What one pixel sees of the waves: their slope, and how much slope is in waves too fine for it.
struct Ripples {
    slope: vec2<f32>,
    lost: f32,
}

// How much water a pixel holds: which way it is seen, and its size away from the eye and across.
struct Patch {
    level: vec2<f32>,
    stretch: f32,
    across2: f32,
}

// How much of a wave (the way it runs, x and z; waves in a metre; slope) a pixel can show: less of what is finer.
fn shown(wave: vec4<f32>, here: Patch) -> f32 {
    let run = dot(wave.xy, here.level);
    let ripple = wave.z * wave.z * (run * run * here.stretch + here.across2);
    let share = 1.0 / (1.0 + 3.0 * ripple);
    return share * share;
}

// Adds one wave, of which so much is shown, and how many pass in a second (deep water: the square root of g times the
// waves in a metre over two pi).
fn add(so_far: Ripples, at: vec2<f32>, wave: vec4<f32>, kept: f32, pace: f32) -> Ripples {
    let turns = dot(wave.xy, at) * wave.z - pace * water.time + wave.w * 61.0;
    var sum = so_far;
    sum.slope += wave.xy * (wave.w * kept * swing(turns));
    sum.lost += wave.w * wave.w * 0.5 * (1.0 - kept * kept);
    return sum;
}

const WAVE_1 = vec4(0.83, 0.56, 0.099, 0.050);
const WAVE_2 = vec4(0.42, 0.91, 0.180, 0.047);
const WAVE_3 = vec4(0.99, -0.17, 0.352, 0.050);
const WAVE_4 = vec4(0.10, 0.99, 0.648, 0.045);
const WAVE_5 = vec4(-0.60, 0.80, 1.417, 0.040);
const WAVE_6 = vec4(0.77, -0.64, 2.754, 0.034);

// What one pixel holds of the water, along a line of sight.
fn patch_of(way: vec3<f32>) -> Patch {
    let far = view.world_position.y / -way.y;
    let level = way.xz * inverseSqrt(dot(way.xz, way.xz));
    let across = far * water.pixel;
    let along = across / -way.y;
    return Patch(level, along * along - across * across, across * across);
}

// Very nearly exp(-x) for x from 0, and nothing at all past 5.
fn falloff(x: f32) -> f32 {
    let rest = max(1.0 - 0.2 * x, 0.0);
    let square = rest * rest;
    return square * square;
}

@vertex
fn vertex(in: Vertex) -> VertexOutput {
    var out: VertexOutput;
    out.position = vec4(in.position.xy, 0.0, 1.0);
    // The line of sight, in view space first: there it keeps its precision however far the camera is from the boat.
    let near = view.view_from_clip * vec4(in.position.xy, 1.0, 1.0);
    let turn = mat3x3(view.world_from_view[0].xyz, view.world_from_view[1].xyz, view.world_from_view[2].xyz);
    let sight = near.xyz / near.w;
    out.world_position = vec4(turn * (sight / -sight.z), 1.0);
    out.world_normal = vec3(0.0, 1.0, 0.0);
#ifndef SKY
    // How much of each wave shows changes so slowly over the picture that its corners will do.
    var way = normalize(out.world_position.xyz);
    way.y = min(way.y, -0.00002);
    let here = patch_of(way);
    out.color = vec4(shown(WAVE_1, here), shown(WAVE_2, here), shown(WAVE_3, here), shown(WAVE_4, here));
    out.uv = vec2(shown(WAVE_5, here), shown(WAVE_6, here));
#endif
    return out;
}

// How much of an invented shore lies that way: all of it abeam to port, none to starboard.
fn ashore(way: vec3<f32>) -> f32 {
    let side = way.z * inverseSqrt(way.x * way.x + way.z * way.z + 1e-9);
    return smoothstep(0.05, -0.35, side);
}

// Its lights, one at most to a stretch of the horizon: street lamps and windows, amber and pale, none as bright as a
// light of hers. Those of a shore are steady; what twinkles is the water.
fn shore_lights(way: vec3<f32>) -> vec3<f32> {
    let stretch = water.pixel * 9.0;
    let at = atan2(way.z, way.x) / stretch;
    let cell = floor(at);
    let lot = jumble(vec2(cell, 17.0));
    let high = water.pixel * (1.5 + 9.0 * lot.y * lot.y);
    let off = vec2((at - cell - 0.2 - 0.6 * lot.x) * stretch, way.y - high) / water.pixel;
    let lit = step(1.0 - 0.75 * water.air.z, lot.z);
    let tint = mix(vec3(1.0, 0.62, 0.26), vec3(0.95, 0.90, 0.80), step(0.6, lot.y));
    return tint * (lit * ashore(way) * (0.10 + 0.34 * lot.x) * falloff(dot(off, off) * 0.55));
}

fn sky(way: vec3<f32>) -> vec3<f32> {
    let up = max(way.y, 0.0);
    let zenith = vec3(0.0012, 0.0026, 0.0085);
    let low = vec3(0.0040, 0.0098, 0.0230);
    let glow = vec3(0.0064, 0.0068, 0.0078);
    let height = 1.0 / (1.0 + up * (4.0 + 14.0 * up));
    let near = 1.0 / (1.0 + up * (20.0 + 400.0 * up));
    var colour = (mix(zenith, low, height) + glow * near) * (0.45 + 0.55 * water.air.y);
    let moonward = max(dot(way, water.moon.xyz), 0.0);
    let m2 = moonward * moonward;
    let m8 = m2 * m2 * m2 * m2;
    colour += vec3(0.012, 0.016, 0.024) * (m8 * m8 * water.air.y);
#ifdef SHORE
    // Over a lit shore the air itself glows.
    colour += vec3(0.020, 0.014, 0.008) * (water.air.z * near * ashore(way));
#endif
    return colour;
}

fn jumble(at: vec2<f32>) -> vec3<f32> {
    let mixed = fract(vec3(at.xyx) * vec3(0.1031, 0.1030, 0.0973));
    let more = mixed + dot(mixed, mixed.yxz + 33.33);
    return fract((more.xxy + more.yzz) * more.zyx);
}

// An invented star field: no sky of any night that was. One star at most to a square of the sky; the squares halve as
// the view narrows, as glasses bring out stars that the bare eye misses. None is as bright as a light.
fn stars(way: vec3<f32>) -> vec3<f32> {
    let side = water.star_square;
    let at = vec2(atan2(way.z, way.x), asin(way.y)) / side;
    let cell = floor(at);
    let lot = jumble(cell);
    let place = cell + 0.15 + 0.7 * lot.xy;
    let off = (at - place) * side / water.pixel;
    let kind = jumble(cell + 71.0);
    let k2 = kind.x * kind.x;
    let bright = 0.018 + 0.30 * k2 * k2 * k2 * kind.x;
    let size = 0.75 + 0.35 * kind.x;
    let clear = clamp(way.y / (water.pixel * 170.0) - 0.1, 0.0, 1.0);
    let tint = mix(vec3(0.78, 0.88, 1.0), vec3(1.0, 0.92, 0.80), kind.y);
    return tint * (bright * clear * step(0.42, lot.z) * falloff(dot(off, off) / (size * size)));
}

// Small even noise that keeps dark gradients from banding.
fn grain(at: vec2<f32>) -> f32 {
    return fract(52.9829189 * fract(dot(at, vec2(0.06711056, 0.00583715)))) - 0.5;
}

// The air between, lit by the moon and the shore.
fn haze_colour() -> vec3<f32> {
    return vec3(0.0104, 0.0166, 0.0308) * (0.35 + 0.65 * water.air.y) + vec3(0.016, 0.011, 0.006) * water.air.z;
}

#ifdef SKY

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let way = normalize(in.world_position.xyz);
    let dust = grain(in.position.xy) * 0.0011;
    var above = sky(way) + stars(way) * (1.35 - 0.5 * water.air.y);
    // The thicker the air, the fewer stars low down, and the fainter the shore.
    let veil = clamp(water.air.x * 900.0, 0.0, 0.8) * falloff(way.y * 6.0);
    above = above * (1.0 - veil) + haze_colour() * veil;
#ifdef SHORE
    above += shore_lights(way) / (1.0 + water.air.x * 4000.0);
#endif
    return vec4(above + dust, 1.0);
}

#else

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    var way = normalize(in.world_position.xyz);
    way.y = min(way.y, -0.00002);
    let dust = grain(in.position.xy) * 0.0011;
    let eye = view.world_position;
    let far = eye.y / -way.y;
    let at = eye.xz + way.xz * far;

    var ripples = Ripples(vec2(0.0), 0.0);
    ripples = add(ripples, at, WAVE_1, in.color.x, 0.393);
    ripples = add(ripples, at, WAVE_2, in.color.y, 0.530);
    ripples = add(ripples, at, WAVE_3, in.color.z, 0.741);
    ripples = add(ripples, at, WAVE_4, in.color.w, 1.006);
    ripples = add(ripples, at, WAVE_5, in.uv.x, 1.487);
    ripples = add(ripples, at, WAVE_6, in.uv.y, 2.074);
    let slope = ripples.slope;
    let lost = ripples.lost;
    let normal = normalize(vec3(-slope.x, 1.0, -slope.y));
    let facing = max(dot(normal, -way), 0.03);
    let grazing = 1.0 - facing;
    let grazing2 = grazing * grazing;
    let mirrored = 0.02 + 0.98 * grazing2 * grazing2 * grazing;
    var bounce = reflect(way, normal);
    bounce.y = abs(bounce.y) + 1.2 * sqrt(lost);
    // What comes up out of the water: a little more where a wave leans to the moon.
    let lean = clamp(1.0 + 3.0 * dot(slope, water.moon.xz), 0.4, 2.0);
    var colour = mix(vec3(0.0011, 0.0032, 0.0056) * lean, sky(normalize(bounce)), mirrored);

    // Mirror images: bright where the water's slope is the one that sends the light to the eye.
    let spread = 0.0020 + lost;
    let gloss = 0.22 + 0.78 * sqrt(mirrored);
    let steep = slope * 1.6;
#if LIGHTS > 0
    let tight = 0.5 / spread;
    for (var n = 0u; n < #{LIGHTS}u; n++) {
        // Half-way between the ways to the eye and to the light, as long as the latter.
        let away = water.places[n].xyz - vec3(at.x, 0.0, at.y);
        let half_way = away - way * length(away);
        let off = half_way.xz + steep * half_way.y;
        colour += water.colours[n].rgb * gloss * falloff(dot(off, off) * tight / (half_way.y * half_way.y));
    }
#endif
    let moon_way = water.moon.xyz - way;
    let moon_off = moon_way.xz + steep * moon_way.y;
    let moonlit = 0.5 * dot(moon_off, moon_off) / (moon_way.y * moon_way.y * (spread + 0.004));
    colour += water.air.y * vec3(0.016, 0.021, 0.030) * falloff(moonlit);

    // Very nearly 1 - exp(-x).
    let thick = far * water.air.x;
    let haze = 1.0 - 1.0 / (1.0 + thick * (1.0 + 0.5 * thick));
    colour = mix(colour, haze_colour(), haze);
    return vec4(colour + dust, 1.0);
}

#endif
