// Night red: the brightest of red, green and blue as red, and nothing else.
#import bevy_core_pipeline::fullscreen_vertex_shader::FullscreenVertexOutput

struct NightRed {
    strength: f32,
}

@group(0) @binding(0) var picture: texture_2d<f32>;
@group(0) @binding(1) var nearest: sampler;
@group(0) @binding(2) var<uniform> red: NightRed;

@fragment
fn fragment(in: FullscreenVertexOutput) -> @location(0) vec4<f32> {
    let colour = textureSample(picture, nearest, in.uv).rgb;
    return vec4(max(max(colour.r, colour.g), colour.b) * red.strength, 0.0, 0.0, 1.0);
}
