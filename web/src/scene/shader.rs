//! The two programs that run on the graphics card.
//!
//! Light is that of an open sky: one soft sun, paper that is never black. It is
//! reckoned for each corner, since facets are flat; what is far fades into the
//! haze, which tells distance.

/// Places and lights corners. A corner without normal is not lit.
pub const CORNER: &str = r"#version 300 es
layout(location = 0) in vec3 place;
layout(location = 1) in vec3 normal;
layout(location = 2) in vec3 paint;
uniform mat4 picture;
uniform mat4 model;
uniform vec3 eye;
uniform vec3 sun;
uniform vec4 haze;
uniform vec4 tint;
uniform float nudge;
out vec4 colour;
void main() {
    vec4 at = model * vec4(place, 1.0);
    vec3 towards = eye - at.xyz;
    float light = 1.0;
    if (dot(normal, normal) > 0.25) {
        vec3 n = normalize(mat3(model) * normal);
        n *= dot(n, towards) < 0.0 ? -1.0 : 1.0;
        float sky = 0.5 - 0.5 * n.z;
        light = 0.58 + 0.14 * sky + 0.34 * max(dot(n, sun), 0.0);
    }
    vec3 lit = mix(paint * light, tint.rgb, tint.a < 0.0 ? 1.0 : 0.0);
    float fade = 1.0 - exp(-length(towards) * haze.a);
    colour = vec4(mix(lit, haze.rgb, fade), abs(tint.a));
    gl_Position = picture * at;
    gl_Position.z -= nudge;
}
";

/// Takes the colour as it comes.
pub const DOT: &str = r"#version 300 es
precision mediump float;
in vec4 colour;
out vec4 shown;
void main() {
    shown = vec4(colour.rgb * colour.a, colour.a);
}
";
