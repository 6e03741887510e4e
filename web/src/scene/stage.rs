//! A canvas with a graphics card behind it: size, frames, and what happens when
//! the card goes away.
//!
//! A browser may take the card back at any time (sleep, driver update, too many
//! pages). The stage then says so, and when the card returns has everything
//! brought to it anew. Frames are drawn only when something asks for one.

use std::cell::RefCell;
use std::rc::Rc;
use std::time::Duration;

use leptos::prelude::*;
use web_sys::HtmlCanvasElement;

use super::gpu::{Gpu, GpuError};
use crate::state::compute::now_ms;

/// What a stage shows.
pub trait Painter {
    /// Brings all meshes to a card that has none of them.
    ///
    /// # Errors
    /// Where the card takes nothing.
    fn upload(&mut self, gpu: &Gpu) -> Result<(), GpuError>;

    /// Draws a frame, and says whether another is wanted at once.
    fn paint(&mut self, gpu: &mut Gpu, frame: &Frame) -> bool;

    /// Time goes on without a card; says whether it is to be called again.
    fn idle(&mut self, _now_ms: f64) -> bool {
        false
    }

    /// Share of the screen's pixels that are worth drawing.
    fn fineness(&self) -> f64 {
        1.0
    }
}

/// A frame to draw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Time of the frame, ms.
    pub now_ms: f64,
    /// Size of the picture in pixels of the screen.
    pub size: (u32, u32),
}

/// Whether there is a picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sight {
    /// There is.
    Fine,
    /// The card was taken away; it may come back.
    Lost,
    /// The browser gives none.
    None,
}

/// More pixels than this for each of the page's are not worth their time.
const DENSITY_MAX: f64 = 2.0;

/// A frame longer than this tells of a card that should not draw while a hand is
/// still on a slider, ms: two frames of an ordinary screen, and some room.
const QUICK_FRAME_MS: f64 = 40.0;
/// So long nothing must change before such a card draws.
const REST: Duration = Duration::from_millis(150);

/// A stage; clones are the same one.
pub struct Stage<P> {
    inner: Rc<RefCell<Inner<P>>>,
}

impl<P> Clone for Stage<P> {
    fn clone(&self) -> Self {
        Self { inner: Rc::clone(&self.inner) }
    }
}

struct Inner<P> {
    painter: P,
    canvas: Option<HtmlCanvasElement>,
    gpu: Option<Gpu>,
    sight: RwSignal<Sight>,
    asked: bool,
    visible: bool,
    /// Time from the start of the last measured frame to that of the next, ms.
    frame_ms: f64,
    /// Number of the last change that waits for rest.
    change: u64,
}

impl<P: Painter + 'static> Stage<P> {
    /// A stage without a canvas yet.
    pub fn new(painter: P, sight: RwSignal<Sight>) -> Self {
        let inner = Inner {
            painter,
            canvas: None,
            gpu: None,
            sight,
            asked: false,
            visible: true,
            frame_ms: f64::INFINITY,
            change: 0,
        };
        Self { inner: Rc::new(RefCell::new(inner)) }
    }

    /// Takes a canvas and starts.
    pub fn open(&self, canvas: HtmlCanvasElement) {
        self.inner.borrow_mut().canvas = Some(canvas);
        self.restore();
    }

    /// Gives the canvas up; no frame follows.
    pub fn close(&self) {
        let mut inner = self.inner.borrow_mut();
        inner.canvas = None;
        inner.gpu = None;
    }

    /// The card is gone.
    pub fn lose(&self) {
        let mut inner = self.inner.borrow_mut();
        inner.gpu = None;
        inner.sight.set(Sight::Lost);
    }

    /// Takes the card, for the first time or again.
    pub fn restore(&self) {
        self.inner.borrow_mut().take_card();
        self.wake();
    }

    /// Changes the painter and asks for a frame.
    pub fn change<T>(&self, change: impl FnOnce(&mut P, Option<&Gpu>) -> T) -> T {
        let value = self.change_silently(change);
        self.wake();
        value
    }

    /// Changes the painter; a quick card draws it with the next frame, a slow one
    /// once no further change has come for a moment, lest it hold up the page.
    pub fn change_at_rest<T>(&self, change: impl FnOnce(&mut P, Option<&Gpu>) -> T) -> T {
        let value = self.change_silently(change);
        let (quick, number) = {
            let mut inner = self.inner.borrow_mut();
            inner.change += 1;
            (inner.frame_ms <= QUICK_FRAME_MS, inner.change)
        };
        if quick {
            self.wake();
        } else {
            let stage = self.clone();
            set_timeout(
                move || {
                    if stage.inner.borrow().change == number {
                        stage.wake();
                    }
                },
                REST,
            );
        }
        value
    }

    fn change_silently<T>(&self, change: impl FnOnce(&mut P, Option<&Gpu>) -> T) -> T {
        let inner = &mut *self.inner.borrow_mut();
        change(&mut inner.painter, inner.gpu.as_ref())
    }

    /// Looks at the painter.
    pub fn look<T>(&self, look: impl FnOnce(&P) -> T) -> T {
        look(&self.inner.borrow().painter)
    }

    /// Whether the canvas is on the screen; nothing is drawn where nobody looks.
    pub fn set_visible(&self, visible: bool) {
        self.inner.borrow_mut().visible = visible;
        self.wake();
    }

    /// Asks for a frame.
    pub fn wake(&self) {
        let mut inner = self.inner.borrow_mut();
        if inner.asked || !inner.visible || inner.canvas.is_none() {
            return;
        }
        inner.asked = true;
        let stage = self.clone();
        request_animation_frame(move || stage.draw());
    }

    fn draw(&self) {
        let start_ms = now_ms();
        let again = {
            let mut inner = self.inner.borrow_mut();
            inner.asked = false;
            inner.draw()
        };
        if again {
            self.wake();
        } else {
            self.measure(start_ms);
        }
    }

    /// Sees how long the frame that has just been drawn keeps the next one waiting.
    fn measure(&self, start_ms: Option<f64>) {
        let stage = self.clone();
        request_animation_frame(move || {
            if let (Some(start_ms), Some(end_ms)) = (start_ms, now_ms()) {
                stage.inner.borrow_mut().frame_ms = end_ms - start_ms;
            }
        });
    }
}

impl<P: Painter> Inner<P> {
    fn take_card(&mut self) {
        let Some(canvas) = &self.canvas else { return };
        let sight = match Gpu::new(canvas) {
            Ok(gpu) => match self.painter.upload(&gpu) {
                Ok(()) => {
                    self.gpu = Some(gpu);
                    Sight::Fine
                }
                Err(_) => Sight::Lost,
            },
            Err(GpuError::Lost) => Sight::Lost,
            Err(GpuError::Unavailable | GpuError::Shader(_)) => Sight::None,
        };
        self.sight.set(sight);
    }

    fn draw(&mut self) -> bool {
        let Some(canvas) = &self.canvas else { return false };
        let Some(now_ms) = now_ms() else { return false };
        let Some(gpu) = &mut self.gpu else { return self.painter.idle(now_ms) };
        if gpu.is_lost() {
            return self.painter.idle(now_ms);
        }
        let density =
            window().device_pixel_ratio().clamp(0.5, DENSITY_MAX) * self.painter.fineness();
        let store = |px: i32| ((f64::from(px) * density).round() as u32).clamp(1, 8192);
        let size = (store(canvas.client_width()), store(canvas.client_height()));
        // Setting a size, even the same, clears the canvas and costs time.
        if (canvas.width(), canvas.height()) != size {
            canvas.set_width(size.0);
            canvas.set_height(size.1);
        }
        self.painter.paint(gpu, &Frame { now_ms, size })
    }
}

/// Whether the visitor has asked for little motion.
pub fn wants_stillness() -> bool {
    window()
        .match_media("(prefers-reduced-motion: reduce)")
        .ok()
        .flatten()
        .is_some_and(|media| media.matches())
}
