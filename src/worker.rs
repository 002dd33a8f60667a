//! Floor 8: the worker that computes behind the page (wasm only). Orders come in, replies go out;
//! in between it works in slices and looks for new orders after each. It has no document.
//! Must not know the DOM.

mod measure;

use std::cell::RefCell;

use wasm_bindgen::closure::Closure;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, MessageChannel};

pub use measure::{kernels, measure};

use crate::jobs::{Engine, News, Order, Parcel, Reply};

thread_local! {
    static ENGINE: RefCell<Engine> = const { RefCell::new(Engine::new()) };
    static BELL: RefCell<Option<Bell>> = const { RefCell::new(None) };
}

/// Brings the worker back to its work after it has looked for new orders: a message to itself, which
/// a browser does not put off as it does a timer.
struct Bell {
    channel: MessageChannel,
    /// Whether it was rung and has not been heard yet.
    is_rung: bool,
    _ring: Closure<dyn Fn()>,
}

impl Bell {
    fn new() -> Result<Self, JsValue> {
        let channel = MessageChannel::new()?;
        let ring = Closure::<dyn Fn()>::new(work);
        channel
            .port1()
            .set_onmessage(Some(ring.as_ref().unchecked_ref()));
        Ok(Self {
            channel,
            is_rung: false,
            _ring: ring,
        })
    }

    /// Rings, unless it was rung already: one worker does not work twice as fast.
    fn ring(&mut self) -> Result<(), JsValue> {
        if std::mem::replace(&mut self.is_rung, true) {
            return Ok(());
        }
        self.channel.port2().post_message(&JsValue::NULL)
    }
}

/// Takes a message from the page. The start-up script of the worker hands every one over.
///
/// # Errors
/// When the browser refuses to carry a message.
#[wasm_bindgen(js_name = coldfringe_order)]
pub fn order(message: &JsValue) -> Result<(), JsValue> {
    console_error_panic_hook::set_once();
    let reply = match Order::unpack(&Parcel::from_message(message)) {
        Ok(order) => ENGINE.with_borrow_mut(|engine| engine.take(order)),
        // The number cannot be told either; zero is nobody's.
        Err(error) => Some(Reply {
            number: 0,
            news: News::Failed(error.to_string()),
        }),
    };
    post(reply)?;
    ring()
}

/// Sees to it that the work goes on, if there is any.
fn ring() -> Result<(), JsValue> {
    if !ENGINE.with_borrow(Engine::is_busy) {
        return Ok(());
    }
    BELL.with_borrow_mut(|bell| {
        if bell.is_none() {
            *bell = Some(Bell::new()?);
        }
        match bell {
            Some(bell) => bell.ring(),
            None => Ok(()),
        }
    })
}

fn work() {
    BELL.with_borrow_mut(|bell| {
        if let Some(bell) = bell {
            bell.is_rung = false;
        }
    });
    let reply = ENGINE.with_borrow_mut(|engine| engine.work(now));
    if let Err(error) = post(reply).and_then(|()| ring()) {
        web_sys::console::error_1(&error);
    }
}

fn now() -> f64 {
    js_sys::Date::now()
}

fn post(reply: Option<Reply>) -> Result<(), JsValue> {
    let Some(reply) = reply else { return Ok(()) };
    let (message, handed) = reply.pack().message();
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    scope.post_message_with_transfer(&message, &handed)
}
