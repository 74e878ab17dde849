//! The page's side of a calculation worker: sends requests one after another, hands back what comes, and starts a new worker when one
//! was lost. The message shapes stand in `public/worker.js`.

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::rc::{Rc, Weak};

use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::prelude::*;
use web_sys::{ErrorEvent, MessageEvent, Url, Worker, WorkerOptions, WorkerType};

/// What comes back for a request: any number of `Progress`, then one of the other two.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Reply {
    /// Share done, 0 to 1, and bytes of a partial result if there is something to show already.
    Progress { share: f64, part: Option<Vec<u8>> },
    /// The answer.
    Answer(Vec<u8>),
    /// The calculation broke off, or no worker could be started; the text says why.
    Failed(String),
}

/// Names a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct RequestId(u32);

/// A worker that runs the same program as the page. Requests are answered in the order they were asked.
///
/// Clones share one worker; it ends when the last clone is dropped.
#[derive(Clone)]
pub(crate) struct CalcWorker(Rc<Desk>);

type OnReply = Rc<dyn Fn(Reply)>;

struct Desk {
    worker: RefCell<Option<Running>>,
    /// The request the worker has now.
    current: RefCell<Option<(RequestId, OnReply)>>,
    waiting: RefCell<VecDeque<(RequestId, Vec<u8>, OnReply)>>,
    last_id: Cell<u32>,
    on_trouble: Box<dyn Fn(String)>,
}

/// A started worker, with the listeners that live as long as it does.
struct Running {
    worker: Worker,
    _on_message: Closure<dyn FnMut(MessageEvent)>,
    _on_error: Closure<dyn FnMut(ErrorEvent)>,
}

impl CalcWorker {
    /// Starts a worker. `on_trouble` hears what the reader should know although no request failed by it: that no worker can be
    /// started here, or that the climate grid is missing.
    pub(crate) fn start(on_trouble: impl Fn(String) + 'static) -> Self {
        let desk = Rc::new(Desk {
            worker: RefCell::new(None),
            current: RefCell::new(None),
            waiting: RefCell::new(VecDeque::new()),
            last_id: Cell::new(0),
            on_trouble: Box::new(on_trouble),
        });
        desk.start_worker();
        Self(desk)
    }

    /// Asks for an answer to `bytes`. `on_reply` is called later, never from inside this call unless no worker can be started.
    pub(crate) fn ask(&self, bytes: Vec<u8>, on_reply: impl Fn(Reply) + 'static) {
        let desk = &self.0;
        desk.last_id.set(desk.last_id.get().wrapping_add(1));
        let id = RequestId(desk.last_id.get());
        desk.waiting
            .borrow_mut()
            .push_back((id, bytes, Rc::new(on_reply)));
        desk.send_next();
    }
}

impl Desk {
    /// Sends the next waiting request, if the worker is free. Starts a worker if there is none.
    fn send_next(self: &Rc<Self>) {
        if self.current.borrow().is_some() || self.waiting.borrow().is_empty() {
            return;
        }
        if self.worker.borrow().is_none() && !self.start_worker() {
            return;
        }
        let Some((id, bytes, on_reply)) = self.waiting.borrow_mut().pop_front() else {
            return;
        };
        *self.current.borrow_mut() = Some((id, on_reply));
        let sent = match &*self.worker.borrow() {
            Some(running) => post_request(&running.worker, id, &bytes),
            None => Ok(()),
        };
        if let Err(reason) = sent {
            self.break_off(&told(&reason));
        }
    }

    /// Replaces the worker, if any, by a new one. Where that cannot be done, everything that waits is told so.
    fn start_worker(self: &Rc<Self>) -> bool {
        self.end_worker();
        match Running::new(&Rc::downgrade(self)) {
            Ok(running) => {
                *self.worker.borrow_mut() = Some(running);
                true
            }
            Err(reason) => {
                self.give_up(&told(&reason));
                false
            }
        }
    }

    fn end_worker(&self) {
        let ended = self.worker.borrow_mut().take();
        if let Some(running) = ended {
            running.worker.set_onmessage(None);
            running.worker.set_onerror(None);
            running.worker.terminate();
        }
    }

    fn take_current(&self, id: RequestId) -> Option<OnReply> {
        let current = self
            .current
            .borrow_mut()
            .take_if(|(current, _)| *current == id);
        current.map(|(_, on_reply)| on_reply)
    }

    /// The worker could not be started: the next request will try again, those that wait fail now.
    fn give_up(&self, reason: &str) {
        self.end_worker();
        let current = self
            .current
            .borrow_mut()
            .take()
            .map(|(_, on_reply)| on_reply);
        let waiting = std::mem::take(&mut *self.waiting.borrow_mut());
        (self.on_trouble)(reason.to_owned());
        for on_reply in current
            .into_iter()
            .chain(waiting.into_iter().map(|(_, _, on_reply)| on_reply))
        {
            on_reply(Reply::Failed(reason.to_owned()));
        }
    }

    /// The calculation broke off: its request fails, the others go to a new worker.
    fn break_off(self: &Rc<Self>, reason: &str) {
        let current = self.current.borrow_mut().take();
        self.start_worker();
        if let Some((_, on_reply)) = current {
            on_reply(Reply::Failed(reason.to_owned()));
        }
        self.send_next();
    }

    fn on_message(self: &Rc<Self>, message: &JsValue) {
        let field = |name: &str| Reflect::get(message, &name.into()).unwrap_or(JsValue::UNDEFINED);
        let text = |name: &str| field(name).as_string();
        let bytes = |name: &str| {
            field(name)
                .dyn_into::<Uint8Array>()
                .ok()
                .map(|array| array.to_vec())
        };

        let Some(id) = field("id").as_f64() else {
            if let Some(reason) = text("error") {
                self.give_up(&reason);
            } else if let Some(reason) = text("trouble") {
                (self.on_trouble)(reason);
            }
            return;
        };
        let of_current = self
            .current
            .borrow()
            .as_ref()
            .and_then(|(current, on_reply)| {
                (f64::from(current.0) == id).then(|| (*current, on_reply.clone()))
            });
        let Some((id, on_reply)) = of_current else {
            return;
        };
        if let Some(reason) = text("error") {
            self.break_off(&reason);
        } else if let Some(share) = field("progress").as_f64() {
            on_reply(Reply::Progress {
                share,
                part: bytes("part"),
            });
        } else if let Some(answer) = bytes("bytes") {
            self.take_current(id);
            on_reply(Reply::Answer(answer));
            self.send_next();
        }
    }
}

impl Drop for Desk {
    fn drop(&mut self) {
        self.end_worker();
    }
}

impl Running {
    fn new(desk: &Weak<Desk>) -> Result<Self, JsValue> {
        let options = WorkerOptions::new();
        options.set_type(WorkerType::Module);
        let worker = Worker::new_with_options(&named("worker")?, &options)?;

        let listener = desk.clone();
        let on_message = Closure::new(move |event: MessageEvent| {
            if let Some(desk) = listener.upgrade() {
                desk.on_message(&event.data());
            }
        });
        worker.set_onmessage(Some(on_message.as_ref().unchecked_ref()));

        // A worker whose script cannot be loaded says nothing but this.
        let listener = desk.clone();
        let on_error = Closure::new(move |event: ErrorEvent| {
            if let Some(desk) = listener.upgrade() {
                let said = Reflect::get(&event, &"message".into())
                    .ok()
                    .and_then(|message| message.as_string());
                desk.give_up(
                    &said.unwrap_or_else(|| "the worker script could not be loaded".to_owned()),
                );
            }
        });
        worker.set_onerror(Some(on_error.as_ref().unchecked_ref()));

        worker.post_message(&object(&[
            ("js", named("js")?.into()),
            ("module", wasm_bindgen::module()),
            ("climate", named("climate")?.into()),
        ])?)?;
        Ok(Self {
            worker,
            _on_message: on_message,
            _on_error: on_error,
        })
    }
}

fn post_request(worker: &Worker, id: RequestId, bytes: &[u8]) -> Result<(), JsValue> {
    let bytes = Uint8Array::from(bytes);
    let handed_over = Array::of1(&bytes.buffer());
    worker.post_message_with_transfer(
        &object(&[("id", id.0.into()), ("bytes", bytes.into())])?,
        &handed_over,
    )
}

fn object(fields: &[(&str, JsValue)]) -> Result<JsValue, JsValue> {
    let object = Object::new();
    for (name, value) in fields {
        Reflect::set(&object, &(*name).into(), value)?;
    }
    Ok(object.into())
}

/// The address that the build wrote into the loader's tag, under `data-NAME`.
fn named(name: &str) -> Result<String, JsValue> {
    let tag = leptos::prelude::document().query_selector("script[data-js]")?;
    let written = tag.and_then(|tag| tag.get_attribute(&format!("data-{name}")));
    address(&written.ok_or_else(|| format!("the page does not name its {name}"))?)
}

/// `name` seen from the page, wherever it lies.
fn address(name: &str) -> Result<String, JsValue> {
    let base = leptos::prelude::document().base_uri()?.unwrap_or_default();
    Ok(Url::new_with_base(name, &base)?.href())
}

fn told(reason: &JsValue) -> String {
    let message = Reflect::get(reason, &"message".into())
        .ok()
        .and_then(|message| message.as_string());
    message
        .or_else(|| reason.as_string())
        .unwrap_or_else(|| "no calculation worker can be started here".to_owned())
}
