//! Shares errands out to workers, and does them itself where there are none.
//!
//! Nothing here blocks: an errand takes a worker some tenths of a second, and
//! what the page must do itself is cut into the smallest pieces, with a rest
//! after each. A worker that fails gives its task back to the queue; one that
//! says nothing for long is taken for dead.

use std::cell::RefCell;
use std::collections::VecDeque;
use std::sync::Arc;
use std::time::Duration;

use js_sys::Uint8Array;
use leptos::prelude::*;
use sim_core::assess::uncertainty::SampleResult;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{MessageEvent, Worker, WorkerOptions, WorkerType};

use super::errand::{Answer, Errand, Reply, SAMPLES, Task, carry_out};
use super::{Course, Dated, LateResult};
use crate::state::compute::{leave_figure, now_ms};
use crate::state::sweep::Look;
use crate::state::{Design, Sheet, file};

/// Most workers: more would only take memory.
const HANDS_MAX: f64 = 4.0;
/// Rest after the design was taken up before anything is begun.
const CALM: Duration = Duration::from_millis(500);
/// Samples that a worker takes at a time: some tenths of a second of work.
const SLICE: usize = 8;
/// Fewer samples say nothing when the run is stopped.
const WORTH_SUMMING: usize = 32;
/// A worker that has not answered for so long is taken for dead.
const PATIENCE: Duration = Duration::from_secs(10);
/// Rest between pieces of work that the page does itself, where the browser
/// does not tell when it is idle.
const REST: Duration = Duration::from_millis(30);

/// A worker with what it was given.
struct Hand {
    number: u32,
    worker: Worker,
    busy: Option<Busy>,
}

#[derive(Clone)]
struct Busy {
    errand: u32,
    run: u32,
    task: Task,
}

/// What is left of a sweep. It has a design and a run of its own: it goes on
/// while the aeroplane changes.
#[derive(Default)]
struct SweepWork {
    run: u32,
    design: String,
    looks: VecDeque<Look>,
}

/// The workers and the work left.
#[derive(Default)]
struct Crew {
    hands: Vec<Hand>,
    hands_ever: u32,
    errands_ever: u32,
    /// Number of the run; answers of an earlier one are thrown away.
    run: u32,
    /// Number of the design.
    revision: u32,
    design: String,
    queue: VecDeque<Task>,
    sweep: SweepWork,
    samples: Vec<SampleResult>,
    calm: Option<TimeoutHandle>,
    begun_ms: Option<f64>,
    page_at_work: bool,
}

thread_local! {
    static CREW: RefCell<Crew> = RefCell::default();
}

/// Notes that the late results are those of an earlier design from now on.
pub fn outdate(sheet: Sheet) {
    let idle = sheet.late.course.get_untracked() == Course::Waiting;
    let revision = CREW.with_borrow_mut(|crew| {
        crew.drop_work();
        // While nothing has come for a number, it serves the next design too.
        crew.revision += u32::from(!idle);
        crew.revision
    });
    if idle {
        return;
    }
    sheet.late.revision.set(revision);
    sheet.late.course.set(Course::Waiting);
}

/// Number of the present design.
pub fn revision() -> u32 {
    CREW.with_borrow(|crew| crew.revision)
}

/// Takes up the design once the hand rests, and begins with it when it has been
/// left alone for a moment.
pub fn changed(sheet: Sheet) {
    if sheet.outcome.with_untracked(|outcome| outcome.stale) {
        return;
    }
    let design = sheet.design.with_untracked(file::write);
    CREW.with_borrow_mut(|crew| {
        crew.drop_work();
        crew.design = design;
        crew.calm = set_timeout_with_handle(move || begin(sheet), CALM).ok();
    });
}

/// Stops the work; what was sampled so far is put together.
pub fn stop(sheet: Sheet) {
    CREW.with_borrow_mut(|crew| {
        let samples = std::mem::take(&mut crew.samples);
        crew.drop_work();
        if samples.len() >= WORTH_SUMMING {
            crew.queue.push_back(Task::Summary(samples));
        }
    });
    sheet.late.course.set(Course::Stopped);
    share_out(sheet);
}

/// Begins anew after a stop.
pub fn go_on(sheet: Sheet) {
    CREW.with_borrow_mut(Crew::drop_work);
    begin(sheet);
}

fn begin(sheet: Sheet) {
    CREW.with_borrow_mut(|crew| {
        hire(crew, sheet);
        crew.begun_ms = now_ms();
        crew.queue.extend([Task::Performance, Task::Power, Task::Remedies, Task::Dihedral]);
        let slices = (0..SAMPLES).step_by(SLICE);
        crew.queue.extend(slices.map(|from| Task::Samples(from..from + SLICE)));
    });
    sheet.late.short_handed.set(false);
    sheet.late.course.set(Course::Running { done: 0 });
    share_out(sheet);
}

/// Begins with a sweep of a design, in place of any that runs.
pub fn begin_sweep(sheet: Sheet, base: &Design, looks: Vec<Look>) {
    stop_sweep();
    CREW.with_borrow_mut(|crew| {
        hire(crew, sheet);
        crew.sweep.design = file::write(base);
        crew.sweep.looks.extend(looks);
    });
    share_out(sheet);
}

/// Ends the sweep that runs.
pub fn stop_sweep() {
    CREW.with_borrow_mut(|crew| {
        crew.sweep.run += 1;
        crew.sweep.looks.clear();
    });
}

impl Crew {
    fn drop_work(&mut self) {
        self.run += 1;
        self.queue.clear();
        self.samples.clear();
        if let Some(calm) = self.calm.take() {
            calm.clear();
        }
    }

    fn has_work(&self) -> bool {
        !self.queue.is_empty() || !self.sweep.looks.is_empty()
    }

    /// The next piece; a sweep first, which somebody waits for.
    fn next_piece(&mut self) -> Option<Errand> {
        if let Some(look) = self.sweep.looks.pop_front() {
            let (run, design) = (self.sweep.run, self.sweep.design.clone());
            return Some(Errand { run, design, task: Task::Sweep(look) });
        }
        let task = self.queue.pop_front()?;
        Some(Errand { run: self.run, design: self.design.clone(), task })
    }

    /// Takes back a piece that was not answered.
    fn take_back(&mut self, run: u32, task: Task) {
        match task {
            Task::Sweep(look) if run == self.sweep.run => self.sweep.looks.push_front(look),
            Task::Sweep(_) => {}
            task if run == self.run => self.queue.push_front(task),
            _ => {}
        }
    }

    /// The next piece for a hand, with the bytes to send.
    fn next_errand(&mut self) -> Option<(Busy, Vec<u8>)> {
        let errand = self.next_piece()?;
        self.errands_ever += 1;
        let bytes = errand.to_bytes();
        let busy = Busy { errand: self.errands_ever, run: errand.run, task: errand.task };
        Some((busy, bytes))
    }
}

/// Brings the number of workers up to what the device has cores for.
fn hire(crew: &mut Crew, sheet: Sheet) {
    let cores = window().navigator().hardware_concurrency().clamp(1.0, HANDS_MAX) as usize;
    while crew.hands.len() < cores {
        crew.hands_ever += 1;
        let Some(worker) = new_worker(crew.hands_ever, sheet) else { return };
        crew.hands.push(Hand { number: crew.hands_ever, worker, busy: None });
    }
}

/// A worker with the page's own compiled module; nothing where the browser
/// refuses.
fn new_worker(number: u32, sheet: Sheet) -> Option<Worker> {
    let options = WorkerOptions::new();
    options.set_type(WorkerType::Module);
    let worker = Worker::new_with_options("worker.js", &options).ok()?;
    let answered = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let bytes = event.data().dyn_into::<Uint8Array>().map(|bytes| bytes.to_vec());
        take_reply(number, &bytes.unwrap_or_default(), sheet);
    });
    let failed = Closure::<dyn Fn(JsValue)>::new(move |_| dismiss(number, sheet));
    worker.set_onmessage(Some(answered.as_ref().unchecked_ref()));
    worker.set_onerror(Some(failed.as_ref().unchecked_ref()));
    // Workers are few and live as long as the page.
    answered.forget();
    failed.forget();
    worker.post_message(&wasm_bindgen::module()).ok()?;
    Some(worker)
}

/// Gives every idle worker something to do, or does it here.
fn share_out(sheet: Sheet) {
    let (sent, none_left) = CREW.with_borrow_mut(|crew| {
        let mut sent = Vec::new();
        for place in 0..crew.hands.len() {
            if crew.hands[place].busy.is_some() {
                continue;
            }
            let Some((busy, bytes)) = crew.next_errand() else { break };
            let hand = &mut crew.hands[place];
            sent.push((hand.number, busy.errand));
            // A worker that takes no message does not answer either.
            let _ = hand.worker.post_message(&Uint8Array::from(&bytes[..]));
            hand.busy = Some(busy);
        }
        (sent, crew.hands.is_empty() && crew.has_work())
    });
    for (number, errand) in sent {
        set_timeout(move || dismiss_if_silent(number, errand, sheet), PATIENCE);
    }
    if none_left {
        if !sheet.late.short_handed.get_untracked() {
            sheet.late.short_handed.set(true);
        }
        work_here_soon(sheet);
    }
}

fn take_reply(number: u32, bytes: &[u8], sheet: Sheet) {
    let Some(Reply { run, answer }) = Reply::from_bytes(bytes) else {
        return dismiss(number, sheet);
    };
    let current = CREW.with_borrow_mut(|crew| {
        if let Some(hand) = crew.hands.iter_mut().find(|hand| hand.number == number) {
            hand.busy = None;
        }
        match answer {
            Answer::Sweep(_) => crew.sweep.run == run,
            _ => crew.run == run,
        }
    });
    if current {
        take(answer, sheet);
    }
    share_out(sheet);
}

fn dismiss_if_silent(number: u32, errand: u32, sheet: Sheet) {
    let silent = CREW.with_borrow(|crew| {
        crew.hands.iter().any(|hand| {
            hand.number == number && hand.busy.as_ref().is_some_and(|own| own.errand == errand)
        })
    });
    if silent {
        dismiss(number, sheet);
    }
}

/// Lets a worker go; its task goes back to the queue.
fn dismiss(number: u32, sheet: Sheet) {
    CREW.with_borrow_mut(|crew| {
        let Some(place) = crew.hands.iter().position(|hand| hand.number == number) else { return };
        let hand = crew.hands.remove(place);
        hand.worker.terminate();
        if let Some(Busy { run, task, .. }) = hand.busy {
            crew.take_back(run, task);
        }
    });
    share_out(sheet);
}

/// Does the next piece here, when the browser has time.
fn work_here_soon(sheet: Sheet) {
    let asked = CREW.with_borrow_mut(|crew| std::mem::replace(&mut crew.page_at_work, true));
    if asked {
        return;
    }
    let work = move || {
        let piece = CREW.with_borrow_mut(|crew| {
            crew.page_at_work = false;
            let mut piece = crew.next_piece()?;
            if let Task::Samples(slice) = &mut piece.task
                && slice.len() > 1
            {
                let rest = slice.start + 1..slice.end;
                slice.end = slice.start + 1;
                crew.queue.push_front(Task::Samples(rest));
            }
            Some(piece)
        });
        if let Some(piece) = piece {
            take(carry_out(&piece.design, &piece.task), sheet);
            share_out(sheet);
        }
    };
    let tells_idle = js_sys::Reflect::has(&window(), &JsValue::from_str("requestIdleCallback"));
    if tells_idle.unwrap_or(false) {
        request_idle_callback(work);
    } else {
        set_timeout(work, REST);
    }
}

/// Puts an answer on the sheet.
fn take(answer: Answer, sheet: Sheet) {
    let late = sheet.late;
    match answer {
        Answer::Performance(result) => put(late.performance, result),
        Answer::Power(result) => put(late.power, result),
        Answer::Remedies(result) => put(late.remedies, result),
        Answer::Dihedral(result) => put(late.dihedral, result),
        Answer::Samples(results) => take_samples(results, sheet),
        Answer::Summary(result) => {
            put(late.uncertainty, result);
            finish(sheet);
        }
        Answer::Sweep(point) => late.sweep.update(|sweep| {
            if let Some(sweep) = sweep {
                sweep.take(point);
            }
        }),
        Answer::Nothing => {}
    }
}

fn put<T: Send + Sync + 'static>(place: LateResult<T>, result: T) {
    let revision = CREW.with_borrow(|crew| crew.revision);
    place.set(Some(Arc::new(Dated { result, revision })));
}

fn take_samples(results: Vec<SampleResult>, sheet: Sheet) {
    let done = CREW.with_borrow_mut(|crew| {
        crew.samples.extend(results);
        let done = crew.samples.len();
        if done >= SAMPLES {
            let samples = std::mem::take(&mut crew.samples);
            crew.queue.push_back(Task::Summary(samples));
        }
        done
    });
    sheet.late.course.set(Course::Running { done });
}

fn finish(sheet: Sheet) {
    if sheet.late.course.get_untracked() != Course::Stopped {
        sheet.late.course.set(Course::Done);
    }
    let (begun_ms, hands) = CREW.with_borrow(|crew| (crew.begun_ms, crew.hands.len()));
    if let (Some(begun_ms), Some(now_ms)) = (begun_ms, now_ms()) {
        leave_figure("lateMs", now_ms - begun_ms);
        leave_figure("lateHands", hands as f64);
    }
}
