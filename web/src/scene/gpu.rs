//! The one door to the graphics card: meshes go up, pictures are drawn.
//!
//! WebGL2 through `web-sys`, whose calls are safe; nothing is loaded, all is
//! built in code. A context that is lost takes every buffer with it: the owner
//! makes a new [`Gpu`] and uploads anew.

use std::cell::Cell;

use js_sys::{Float32Array, Reflect};
use nalgebra::Matrix4;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{
    HtmlCanvasElement, WebGl2RenderingContext as Gl, WebGlBuffer, WebGlProgram,
    WebGlUniformLocation, WebGlVertexArrayObject,
};

use super::camera::Camera;
use super::mesh::{FLOATS_PER_CORNER, Mesh, Paint, Point};
use super::shader;

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum GpuError {
    /// The browser gives no WebGL2.
    #[error("the browser offers no WebGL2")]
    Unavailable,
    /// The context is lost at the moment.
    #[error("the graphics card is not available at the moment")]
    Lost,
    /// A program was refused.
    #[error("shader refused: {0}")]
    Shader(String),
}

/// A mesh on the card.
#[derive(Debug)]
pub struct Uploaded {
    facets: Option<Strip>,
    lines: Option<Strip>,
}

#[derive(Debug)]
struct Strip {
    array: WebGlVertexArrayObject,
    buffer: WebGlBuffer,
    corners: i32,
}

/// How a mesh is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Finish {
    /// Paper in the light.
    Solid,
    /// Seen through, 0 to 1.
    Sheer(f32),
    /// All of one colour with an opacity, each place once: a shadow.
    Shadow(Paint, f32),
}

/// What all of a picture has in common.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    /// Towards the sun, world axes.
    pub sun: Point,
    /// Colour of the haze.
    pub haze: Paint,
    /// Share lost to the haze for each metre.
    pub haze_per_m: f32,
}

/// The card, ready to draw on one canvas.
#[derive(Debug)]
pub struct Gpu {
    gl: Gl,
    program: WebGlProgram,
    places: Places,
    aspect: f32,
    inks: Cell<bool>,
}

#[derive(Debug)]
struct Places {
    picture: Option<WebGlUniformLocation>,
    model: Option<WebGlUniformLocation>,
    eye: Option<WebGlUniformLocation>,
    sun: Option<WebGlUniformLocation>,
    haze: Option<WebGlUniformLocation>,
    tint: Option<WebGlUniformLocation>,
    nudge: Option<WebGlUniformLocation>,
}

/// Lines are drawn nearer than they are, so that the facets whose folds they ink
/// do not cover them: by some 0.4 % of their distance.
const LINE_NUDGE: f32 = 6e-4;

impl Gpu {
    /// Takes the canvas' context.
    ///
    /// # Errors
    /// Where the browser gives none, or refuses the programs.
    pub fn new(canvas: &HtmlCanvasElement) -> Result<Self, GpuError> {
        let options = js_sys::Object::new();
        for (name, value) in [("antialias", true), ("stencil", true), ("alpha", false)] {
            // Setting a property of a fresh object cannot fail.
            let _ = Reflect::set(&options, &name.into(), &JsValue::from_bool(value));
        }
        let gl: Gl = canvas
            .get_context_with_context_options("webgl2", &options)
            .ok()
            .flatten()
            .and_then(|context| context.dyn_into().ok())
            .ok_or(GpuError::Unavailable)?;
        if gl.is_context_lost() {
            return Err(GpuError::Lost);
        }
        let program = link(&gl)?;
        let place = |name: &str| gl.get_uniform_location(&program, name);
        let places = Places {
            picture: place("picture"),
            model: place("model"),
            eye: place("eye"),
            sun: place("sun"),
            haze: place("haze"),
            tint: place("tint"),
            nudge: place("nudge"),
        };
        Ok(Self { gl, program, places, aspect: 1.0, inks: Cell::new(true) })
    }

    /// Whether the context is gone.
    pub fn is_lost(&self) -> bool {
        self.gl.is_context_lost()
    }

    /// Brings a mesh to the card.
    ///
    /// # Errors
    /// [`GpuError::Lost`] where the card takes nothing at the moment.
    pub fn upload(&self, mesh: &Mesh) -> Result<Uploaded, GpuError> {
        Ok(Uploaded { facets: self.strip(&mesh.facets)?, lines: self.strip(&mesh.lines)? })
    }

    fn strip(&self, corners: &[f32]) -> Result<Option<Strip>, GpuError> {
        if corners.is_empty() {
            return Ok(None);
        }
        let gl = &self.gl;
        let array = gl.create_vertex_array().ok_or(GpuError::Lost)?;
        let buffer = gl.create_buffer().ok_or(GpuError::Lost)?;
        gl.bind_vertex_array(Some(&array));
        gl.bind_buffer(Gl::ARRAY_BUFFER, Some(&buffer));
        gl.buffer_data_with_array_buffer_view(
            Gl::ARRAY_BUFFER,
            &Float32Array::from(corners),
            Gl::STATIC_DRAW,
        );
        let stride = (FLOATS_PER_CORNER * size_of::<f32>()) as i32;
        for index in 0..3_u32 {
            let offset = index as i32 * 3 * size_of::<f32>() as i32;
            gl.enable_vertex_attrib_array(index);
            gl.vertex_attrib_pointer_with_i32(index, 3, Gl::FLOAT, false, stride, offset);
        }
        gl.bind_vertex_array(None);
        Ok(Some(Strip { array, buffer, corners: (corners.len() / FLOATS_PER_CORNER) as i32 }))
    }

    /// Gives back a mesh's place on the card.
    pub fn discard(&self, uploaded: &Uploaded) {
        for strip in [&uploaded.facets, &uploaded.lines].into_iter().flatten() {
            self.gl.delete_vertex_array(Some(&strip.array));
            self.gl.delete_buffer(Some(&strip.buffer));
        }
    }

    /// Starts a picture on a `ground` colour over the whole canvas.
    pub fn begin(&mut self, (width, height): (u32, u32), ground: Paint, light: &Light) {
        let gl = &self.gl;
        self.aspect = width.max(1) as f32 / height.max(1) as f32;
        gl.viewport(0, 0, width as i32, height as i32);
        gl.clear_color(ground[0], ground[1], ground[2], 1.0);
        gl.depth_mask(true);
        gl.clear(Gl::COLOR_BUFFER_BIT | Gl::DEPTH_BUFFER_BIT | Gl::STENCIL_BUFFER_BIT);
        gl.enable(Gl::DEPTH_TEST);
        gl.depth_func(Gl::LEQUAL);
        gl.blend_func(Gl::ONE, Gl::ONE_MINUS_SRC_ALPHA);
        gl.use_program(Some(&self.program));
        gl.uniform3fv_with_f32_array(self.places.sun.as_ref(), light.sun.as_slice());
        self.set_haze(light);
    }

    /// Changes the haze, as for the sky, which has none.
    pub fn set_haze(&self, light: &Light) {
        let [r, g, b] = light.haze;
        self.gl.uniform4f(self.places.haze.as_ref(), r, g, b, light.haze_per_m);
    }

    /// Looks through a camera from here on.
    pub fn look(&self, camera: &Camera) {
        self.set_picture(&camera.view_projection(self.aspect), &camera.eye);
    }

    /// Looks through a camera as if its eye were at the origin.
    pub fn look_at_sky(&self, camera: &Camera) {
        self.set_picture(&camera.turn_projection(self.aspect), &Point::zeros());
    }

    fn set_picture(&self, picture: &Matrix4<f32>, eye: &Point) {
        let gl = &self.gl;
        gl.uniform_matrix4fv_with_f32_array(
            self.places.picture.as_ref(),
            false,
            picture.as_slice(),
        );
        gl.uniform3fv_with_f32_array(self.places.eye.as_ref(), eye.as_slice());
    }

    /// Draws a mesh that stands at `model`.
    pub fn draw(&self, mesh: &Uploaded, model: &Matrix4<f32>, finish: Finish) {
        let gl = &self.gl;
        gl.uniform_matrix4fv_with_f32_array(self.places.model.as_ref(), false, model.as_slice());
        // A negative opacity stands for one colour instead of the paint.
        let ([r, g, b], alpha) = match finish {
            Finish::Solid => ([1.0; 3], 1.0),
            Finish::Sheer(alpha) => ([1.0; 3], alpha.clamp(0.0, 1.0)),
            Finish::Shadow(paint, alpha) => (paint, -alpha.clamp(0.001, 1.0)),
        };
        gl.uniform4f(self.places.tint.as_ref(), r, g, b, alpha);
        let sheer = finish != Finish::Solid;
        if sheer {
            gl.enable(Gl::BLEND);
        }
        gl.depth_mask(!sheer);
        let shadow = matches!(finish, Finish::Shadow(..));
        if shadow {
            gl.enable(Gl::STENCIL_TEST);
            gl.stencil_func(Gl::EQUAL, 0, 0xff);
            gl.stencil_op(Gl::KEEP, Gl::KEEP, Gl::INCR);
        }
        gl.uniform1f(self.places.nudge.as_ref(), 0.0);
        self.draw_strip(mesh.facets.as_ref(), Gl::TRIANGLES);
        if !shadow && self.inks.get() {
            gl.uniform1f(self.places.nudge.as_ref(), LINE_NUDGE);
            self.draw_strip(mesh.lines.as_ref(), Gl::LINES);
        }
        gl.disable(Gl::STENCIL_TEST);
        gl.disable(Gl::BLEND);
        gl.depth_mask(true);
    }

    fn draw_strip(&self, strip: Option<&Strip>, mode: u32) {
        if let Some(strip) = strip {
            self.gl.bind_vertex_array(Some(&strip.array));
            self.gl.draw_arrays(mode, 0, strip.corners);
        }
    }

    /// Draws in order, whatever is nearer, as for sky, ground and what lies on
    /// it; depth is neither asked nor kept.
    pub fn lay_flat(&self, draw: impl FnOnce(&Self)) {
        self.gl.disable(Gl::DEPTH_TEST);
        draw(self);
        self.gl.enable(Gl::DEPTH_TEST);
    }

    /// Forgets how near everything drawn so far is.
    pub fn forget_depth(&self) {
        self.gl.clear(Gl::DEPTH_BUFFER_BIT);
    }

    /// Whether lines are inked from here on; far away they would cover what
    /// they outline.
    pub fn ink_lines(&self, ink: bool) {
        self.inks.set(ink);
    }
}

fn link(gl: &Gl) -> Result<WebGlProgram, GpuError> {
    let refused = |log: Option<String>| {
        if gl.is_context_lost() {
            GpuError::Lost
        } else {
            GpuError::Shader(log.unwrap_or_default())
        }
    };
    let program = gl.create_program().ok_or(GpuError::Lost)?;
    for (kind, source) in [(Gl::VERTEX_SHADER, shader::CORNER), (Gl::FRAGMENT_SHADER, shader::DOT)]
    {
        let shader = gl.create_shader(kind).ok_or(GpuError::Lost)?;
        gl.shader_source(&shader, source);
        gl.compile_shader(&shader);
        if gl.get_shader_parameter(&shader, Gl::COMPILE_STATUS) != JsValue::TRUE {
            return Err(refused(gl.get_shader_info_log(&shader)));
        }
        gl.attach_shader(&program, &shader);
    }
    gl.link_program(&program);
    if gl.get_program_parameter(&program, Gl::LINK_STATUS) != JsValue::TRUE {
        return Err(refused(gl.get_program_info_log(&program)));
    }
    Ok(program)
}
