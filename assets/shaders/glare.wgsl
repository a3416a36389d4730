// A light as an eye sees it. Alpha of the vertex colour tells which of its parts a square is: 0 the halo, which adds
// light; 1 the core, which covers what is behind it so that its colour stays pure.
#import bevy_pbr::forward_io::{Vertex, VertexOutput}

// Places come as places on the picture already.
@vertex
fn vertex(in: Vertex) -> VertexOutput {
    var out: VertexOutput;
    out.position = vec4(in.position.xy, 0.5, 1.0);
    out.world_position = vec4(0.0, 0.0, 0.0, 1.0);
    out.world_normal = vec3(0.0, 1.0, 0.0);
    out.uv = in.uv;
    out.color = in.color;
    return out;
}

@fragment
fn fragment(in: VertexOutput) -> @location(0) vec4<f32> {
    let off = length(in.uv);
    if in.color.a < 0.5 {
        let rest = max(1.0 - off, 0.0);
        let glow = exp(-5.5 * off) * rest;
        // Two faint lashes, as wet eyes make of a strong light.
        let lash = exp(-34.0 * abs(in.uv.y)) * rest * rest + 0.6 * exp(-34.0 * abs(in.uv.x)) * rest * rest;
        return vec4(in.color.rgb * (glow + 0.16 * lash), 0.0);
    }
    let body = 1.0 - smoothstep(0.45, 1.0, off);
    return vec4(in.color.rgb * body, body);
}
