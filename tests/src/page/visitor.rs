//! What a test can do on the page, beyond what the driver itself offers.

use std::time::{Duration, Instant};

use couplet_host::Served;
use serde_json::{Value, json};
use thirtyfour::{By, WebDriver, WebElement};

use super::{Outcome, Visit};

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// Longest wait for something that has to happen on the page. Other builds may share the machine.
const PATIENCE: Duration = Duration::from_secs(60);

/// One browser on one page.
pub struct Visitor {
    /// The driver, for everything that has no shorter word here.
    pub driver: WebDriver,
    address: String,
    served: Option<Served>,
    errors: Vec<String>,
    requests: Vec<String>,
}

/// What the reader's system asks of a page; `None` leaves it as it is.
#[derive(Debug, Clone, Copy, Default)]
pub struct Media {
    /// `prefers-color-scheme`: `light` or `dark`.
    pub color_scheme: Option<&'static str>,
    /// `prefers-contrast`: `more`, `less` or `no-preference`.
    pub contrast: Option<&'static str>,
    /// `prefers-reduced-motion`: `reduce` or `no-preference`.
    pub reduced_motion: Option<&'static str>,
    /// `forced-colors`: `active` or `none`.
    pub forced_colors: Option<&'static str>,
    /// The medium: `screen` or `print`.
    pub medium: Option<&'static str>,
}

impl Visitor {
    pub(super) async fn open(driver: WebDriver, served: Served, how: &Visit) -> Fallible<Self> {
        driver.set_script_timeout(PATIENCE).await?;
        let address = served.address();
        let visitor = Self {
            driver,
            address,
            served: Some(served),
            errors: Vec::new(),
            requests: Vec::new(),
        };
        // The browser's own translations, from which it takes its locale, need not be installed.
        visitor
            .devtools(
                "Emulation.setLocaleOverride",
                json!({ "locale": how.language }),
            )
            .await?;
        if how.touch {
            visitor
                .devtools(
                    "Emulation.setTouchEmulationEnabled",
                    json!({ "enabled": true, "maxTouchPoints": 5 }),
                )
                .await?;
        }
        visitor
            .driver
            .goto(format!("{}{}", visitor.address, how.address_end))
            .await?;
        if how.starts {
            visitor.wait_for_start().await?;
        }
        Ok(visitor)
    }

    /// The page's address, with the sub-path and a slash at the end.
    pub fn address(&self) -> &str {
        &self.address
    }

    /// Waits until the program has started and stands in the page.
    pub async fn wait_for_start(&self) -> Outcome {
        self.wait_until("document.readyState === 'complete' && document.body && !document.getElementById('opening')").await
    }

    /// Loads the page anew and waits until it has started.
    pub async fn reload(&self) -> Outcome {
        self.driver.refresh().await?;
        self.wait_for_start().await
    }

    /// From now on there is no server: nobody listens on its port.
    pub fn stop_server(&mut self) {
        self.served = None;
    }

    /// Waits until the JavaScript expression `condition` is true; fails with the expression if it does not become so. A page that
    /// is just being left or loaded is asked again.
    pub async fn wait_until(&self, condition: &str) -> Outcome {
        let since = Instant::now();
        let test = format!("Boolean({condition})");
        loop {
            let said = self.evaluate(&test).await;
            if matches!(said, Ok(Value::Bool(true))) {
                return Ok(());
            }
            if since.elapsed() > PATIENCE {
                let page = self.evaluate("document.body?.innerText ?? ''").await;
                return Err(format!(
                    "waited in vain for: {condition}\nlast: {said:?}\nthe page says: {page:?}"
                )
                .into());
            }
            tokio::time::sleep(Duration::from_millis(30)).await;
        }
    }

    /// The value of a JavaScript expression in the page; a promise is waited for.
    pub async fn evaluate(&self, expression: &str) -> Fallible<Value> {
        self.evaluate_with(expression, Vec::new()).await
    }

    /// [`Self::evaluate`] with values that the expression finds in `given[0]`, `given[1]` and so on.
    pub async fn evaluate_with(&self, expression: &str, given: Vec<Value>) -> Fallible<Value> {
        let script = format!(
            "const given = [...arguments], done = given.pop();
             (async () => {{ return ({expression}); }})().then(value => done([value ?? null, null]), error => done([null, String(error?.stack ?? error)]));"
        );
        let reply = self
            .driver
            .execute_async(&script, given)
            .await?
            .json()
            .clone();
        match (reply.get(0), reply.get(1).and_then(Value::as_str)) {
            (_, Some(error)) => Err(format!("{expression}: {error}").into()),
            (Some(value), None) => Ok(value.clone()),
            (None, None) => Err(format!("{expression}: no reply").into()),
        }
    }

    /// The first element that `css` selects; waits until there is one.
    pub async fn find(&self, css: &str) -> Fallible<WebElement> {
        self.wait_until(&format!("document.querySelector({})", json!(css)))
            .await?;
        Ok(self.driver.find(By::Css(css)).await?)
    }

    /// The text of the first element that `css` selects, as the reader sees it.
    pub async fn text(&self, css: &str) -> Fallible<String> {
        Ok(self.find(css).await?.text().await?)
    }

    /// Waits until the element that `css` selects holds `text`.
    pub async fn wait_for_text(&self, css: &str, text: &str) -> Outcome {
        self.wait_until(&format!(
            "document.querySelector({})?.innerText.includes({})",
            json!(css),
            json!(text)
        ))
        .await
    }

    /// Types on the keyboard, into whatever has the focus. Keys without a letter come from `thirtyfour::Key`.
    pub async fn press(&self, keys: impl Into<thirtyfour::TypingData>) -> Outcome {
        self.driver.action_chain().send_keys(keys).perform().await?;
        Ok(())
    }

    /// Types a key while others are held, as in Ctrl+Z.
    pub async fn press_with(&self, held: &[thirtyfour::Key], key: &str) -> Outcome {
        let down = held.iter().fold(self.driver.action_chain(), |chain, key| {
            chain.key_down(key.clone())
        });
        let typed = down.send_keys(key);
        held.iter()
            .fold(typed, |chain, key| chain.key_up(key.clone()))
            .perform()
            .await?;
        Ok(())
    }

    /// The middle of the first element that `css` selects, in CSS pixels of the window; the element is scrolled into it.
    pub async fn middle(&self, css: &str) -> Fallible<(f64, f64)> {
        self.find(css).await?;
        let middle = self
            .evaluate_with(
                "(() => {
                   const element = document.querySelector(given[0]);
                   element.scrollIntoView({ block: 'nearest', inline: 'nearest', behavior: 'instant' });
                   const box = element.getBoundingClientRect();
                   return [box.x + box.width / 2, box.y + box.height / 2];
                 })()",
                vec![css.into()],
            )
            .await?;
        Ok(serde_json::from_value(middle)?)
    }

    /// Taps with a finger on the first element that `css` selects.
    pub async fn tap(&self, css: &str) -> Outcome {
        let at = self.middle(css).await?;
        self.touch("touchStart", Some(at)).await?;
        self.touch("touchEnd", None).await
    }

    /// Sets a finger down at one point of the window, moves it to another in small steps, and lifts it.
    pub async fn drag_with_finger(&self, from: (f64, f64), to: (f64, f64)) -> Outcome {
        self.touch("touchStart", Some(from)).await?;
        for at in path(from, to) {
            self.touch("touchMove", Some(at)).await?;
        }
        self.touch("touchEnd", None).await
    }

    /// Presses the mouse's main button at one point of the window, moves to another in small steps, and lets go.
    pub async fn drag_with_mouse(&self, from: (f64, f64), to: (f64, f64)) -> Outcome {
        self.mouse("mousePressed", from).await?;
        for at in path(from, to) {
            self.mouse("mouseMoved", at).await?;
        }
        self.mouse("mouseReleased", to).await
    }

    async fn touch(&self, kind: &str, at: Option<(f64, f64)>) -> Outcome {
        let points: Vec<Value> = at
            .into_iter()
            .map(|(x, y)| json!({ "x": x, "y": y }))
            .collect();
        self.devtools(
            "Input.dispatchTouchEvent",
            json!({ "type": kind, "touchPoints": points }),
        )
        .await?;
        Ok(())
    }

    async fn mouse(&self, kind: &str, (x, y): (f64, f64)) -> Outcome {
        self.devtools("Input.dispatchMouseEvent", json!({ "type": kind, "x": x, "y": y, "button": "left", "buttons": 1, "clickCount": 1 })).await?;
        Ok(())
    }

    /// Gives the window's inside this size, CSS pixels.
    pub async fn resize(&self, width: u32, height: u32) -> Outcome {
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false }),
        )
        .await?;
        Ok(())
    }

    /// Lets the system ask for another look.
    pub async fn ask_for(&self, media: Media) -> Outcome {
        let asked = [
            ("prefers-color-scheme", media.color_scheme),
            ("prefers-contrast", media.contrast),
            ("prefers-reduced-motion", media.reduced_motion),
            ("forced-colors", media.forced_colors),
        ];
        let features: Vec<Value> = asked
            .into_iter()
            .filter_map(|(name, value)| value.map(|value| json!({ "name": name, "value": value })))
            .collect();
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({ "media": media.medium.unwrap_or_default(), "features": features }),
        )
        .await?;
        Ok(())
    }

    /// A command of the browser's own developer protocol.
    pub async fn devtools(&self, command: &str, given: Value) -> Fallible<Value> {
        Ok(self.driver.cdp().send_raw(command, given).await?)
    }

    /// Writes a picture of the window to `$COUPLET_SCREENSHOTS/NAME.png`; does nothing if that variable is not set.
    pub async fn screenshot(&self, name: &str) -> Outcome {
        if let Some(folder) = std::env::var_os("COUPLET_SCREENSHOTS") {
            let folder = couplet_host::workspace().join(folder);
            std::fs::create_dir_all(&folder)?;
            self.driver
                .screenshot(&folder.join(format!("{name}.png")))
                .await?;
        }
        Ok(())
    }

    /// Sends `request` to a worker started as the page starts its own, and gives the answer.
    pub async fn ask_worker(&self, request: &[u8]) -> Fallible<Vec<u8>> {
        const ASK: &str = "new Promise(async (resolve, reject) => {
            const tag = document.querySelector('script[data-wasm]');
            const address = (name) => new URL(name, document.baseURI).href;
            const module = await WebAssembly.compileStreaming(fetch(address(tag.dataset.wasm)));
            const worker = new Worker(address(tag.dataset.worker), { type: 'module' });
            const end = (then, what) => { worker.terminate(); then(what); };
            worker.onerror = (event) => end(reject, event.message ?? 'the worker did not start');
            worker.onmessage = ({ data }) => {
              if (data.error || data.trouble) end(reject, data.error ?? data.trouble);
              else if (data.bytes) end(resolve, Array.from(data.bytes));
            };
            worker.postMessage({ js: address(tag.dataset.js), module, climate: address(tag.dataset.climate) });
            worker.postMessage({ id: 1, bytes: new Uint8Array(given[0]) });
          })";
        let answer = self.evaluate_with(ASK, vec![json!(request)]).await?;
        Ok(serde_json::from_value(answer)?)
    }

    /// Calls a function that the program exports to JavaScript, on the page's own thread.
    pub async fn call(&self, function: &str, given: Vec<Value>) -> Fallible<Value> {
        let call = format!(
            "(async () => {{
               const tag = document.querySelector('script[data-wasm]');
               const program = await import(new URL(tag.dataset.js, document.baseURI).href);
               if (!program.{function}) throw new Error('the page exports no {function}');
               return program.{function}(...given);
             }})()"
        );
        self.evaluate_with(&call, given).await
    }

    /// Errors in the browser's log up to now: uncaught exceptions, `console.error`, files not found, breaches of the security policy.
    pub async fn errors(&mut self) -> Fallible<&[String]> {
        let log = self.driver.browser_log().await?;
        self.errors.extend(
            log.into_iter()
                .filter(|entry| entry.level == "SEVERE")
                .map(|entry| entry.message),
        );
        Ok(&self.errors)
    }

    /// Addresses of all requests that the page made or tried to make up to now.
    pub async fn requests(&mut self) -> Fallible<&[String]> {
        for entry in self.driver.get_log("performance").await? {
            let event: Value = serde_json::from_str(&entry.message)?;
            let (method, what) = (&event["message"]["method"], &event["message"]["params"]);
            // The browser's own start page makes requests too, before this page is opened.
            let of_browser = what["documentURL"]
                .as_str()
                .is_none_or(|document| document.starts_with("chrome"));
            if method == "Network.requestWillBeSent" && !of_browser {
                self.requests
                    .extend(what["request"]["url"].as_str().map(str::to_owned));
            }
        }
        Ok(&self.requests)
    }

    pub(super) async fn check_log(&mut self, expected: &[&str]) -> Outcome {
        let unexpected: Vec<String> = self
            .errors()
            .await?
            .iter()
            .filter(|error| !expected.iter().any(|expected| error.contains(expected)))
            .cloned()
            .collect();
        if unexpected.is_empty() {
            Ok(())
        } else {
            Err(format!("errors in the browser's log:\n{}", unexpected.join("\n")).into())
        }
    }
}

/// Points on the straight way from one to the other, the last one included.
fn path(from: (f64, f64), to: (f64, f64)) -> impl Iterator<Item = (f64, f64)> {
    const STEPS: u32 = 8;
    (1..=STEPS).map(move |step| {
        let share = f64::from(step) / f64::from(STEPS);
        (
            from.0 + share * (to.0 - from.0),
            from.1 + share * (to.1 - from.1),
        )
    })
}
