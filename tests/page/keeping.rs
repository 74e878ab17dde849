//! Safe keeping: what is saved, what is set aside, what comes in and goes out as a file.

use couplet_core::document;
use couplet_tests::page::{Outcome, Visit, Visitor, visit};
use serde_json::Value;

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// Presses the button with this text.
async fn press_button(page: &Visitor, text: &str) -> Outcome {
    page.wait_until(&format!("[...document.querySelectorAll('button')].some((button) => button.innerText === '{text}' || button.textContent === '{text}')")).await?;
    page.evaluate_with(
        "[...document.querySelectorAll('button')].find((button) => button.textContent === given[0]).click()",
        vec![text.into()],
    )
    .await?;
    Ok(())
}

/// From now on, files that the page hands out are written down in `window.files` instead of being saved.
async fn catch_files(page: &Visitor) -> Outcome {
    page.evaluate(
        "(() => {
           window.files = [];
           const make = URL.createObjectURL;
           URL.createObjectURL = (blob) => { blob.text().then((text) => window.files.push(text)); return make(blob); };
           HTMLAnchorElement.prototype.click = function () {};
         })()",
    )
    .await?;
    Ok(())
}

async fn caught_file(page: &Visitor) -> Fallible<String> {
    page.wait_until("window.files.length > 0").await?;
    Ok(serde_json::from_value(
        page.evaluate("window.files.pop()").await?,
    )?)
}

/// Gives a file to the field of this id.
pub(crate) async fn give_file(page: &Visitor, id: &str, name: &str, text: &str) -> Outcome {
    page.find(&format!("#{id}")).await?;
    page.evaluate_with(
        "(() => {
           const field = document.getElementById(given[0]);
           const files = new DataTransfer();
           files.items.add(new File([given[2]], given[1]));
           field.files = files.files;
           field.dispatchEvent(new Event('change', { bubbles: true }));
         })()",
        vec![id.into(), name.into(), text.into()],
    )
    .await?;
    Ok(())
}

async fn saved_text(page: &Visitor) -> Fallible<Value> {
    page.evaluate("localStorage.getItem('couplet.household.' + JSON.parse(localStorage.getItem('couplet.index')).open)")
        .await
}

#[test]
fn what_is_exported_is_what_is_saved_and_comes_back_by_import() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        catch_files(page).await?;
        press_button(page, "Export as a file").await?;
        let exported = caught_file(page).await?;
        assert_eq!(Value::from(exported.as_str()), saved_text(page).await?);
        let mut household = document::read(&exported)?.household;
        household.name = "Brought along".to_owned();
        household.invented = false;
        household.options[2].arrays[1].peak_w = 4321.0;
        give_file(
            page,
            "import-file",
            "brought.json",
            &document::write(&household),
        )
        .await?;
        page.wait_for_text("#drawing", "Brought along").await?;
        page.wait_until("document.querySelector('#option-3-array-2-peak_w').value === '4.321'")
            .await?;
        page.wait_until("!document.querySelector('.notices').innerText.includes('Invented')")
            .await?;
        // It is kept beside the demonstration, which can be opened again.
        page.wait_until(
            "document.querySelector('.households').textContent.includes('The house at Alder Ford')",
        )
        .await?;
        press_button(page, "Export as a file").await?;
        assert_eq!(
            document::read(&caught_file(page).await?)?.household,
            household
        );
        Ok(())
    });
}

#[test]
fn a_file_that_cannot_be_read_changes_nothing_and_is_told() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        let before = saved_text(page).await?;
        for (text, said) in [
            ("no JSON at all", "not JSON"),
            ("{\"format\": \"other\"}", "not a Couplet file"),
            ("{\"format\": \"couplet\", \"schema\": 99}", "newer Couplet"),
        ] {
            give_file(page, "import-file", "strange.json", text).await?;
            page.wait_for_text(".notices", "strange.json was not imported")
                .await?;
            page.wait_for_text(".notices", said).await?;
        }
        assert_eq!(saved_text(page).await?, before);
        Ok(())
    });
}

#[test]
fn a_damaged_save_is_set_aside_and_offered_for_download() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        page.evaluate("localStorage.setItem('couplet.household.1', '{\"format\": \"couplet\", \"schema\": 1, \"hou')").await?;
        page.reload().await?;
        page.wait_for_text(".notices", "was set aside").await?;
        // The page works on, with the demonstration, and nothing was dropped.
        page.wait_for_text("#drawing", "Alder Ford").await?;
        assert_eq!(
            page.evaluate("localStorage.getItem('couplet.aside.1')")
                .await?,
            "{\"format\": \"couplet\", \"schema\": 1, \"hou"
        );
        catch_files(page).await?;
        press_button(page, "Download it").await?;
        assert!(caught_file(page).await?.ends_with("\"hou"));
        // It is still there after a reload, until the reader takes it out.
        page.reload().await?;
        page.wait_for_text(".notices", "was set aside").await?;
        Ok(())
    });
}

#[test]
fn a_save_of_a_newer_couplet_is_kept_untouched() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        page.evaluate("localStorage.setItem('couplet.household.1', '{\"format\": \"couplet\", \"schema\": 99}')").await?;
        page.reload().await?;
        page.wait_for_text(".notices", "newer Couplet").await?;
        assert_eq!(
            page.evaluate("localStorage.getItem('couplet.aside.1')")
                .await?,
            "{\"format\": \"couplet\", \"schema\": 99}"
        );
        Ok(())
    });
}

#[test]
fn a_full_store_is_told_at_once_and_the_file_is_offered() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        let before = saved_text(page).await?;
        page.evaluate(
            "(() => { let chunk = 'x'.repeat(1 << 20); let n = 0;
               while (chunk.length > 8) { try { localStorage.setItem('filler' + n++, chunk); } catch { chunk = chunk.slice(chunk.length / 2); } } })()",
        )
        .await?;
        page.evaluate(
            "(() => { const field = document.getElementById('household-name'); field.value = 'A name that is a good deal longer than before'.padEnd(79, ', so that it cannot fit'); field.dispatchEvent(new Event('input', { bubbles: true })); })()",
        )
        .await?;
        page.wait_for_text(".saved", "not saved").await?;
        page.wait_for_text(".notices", "storage for this page is full")
            .await?;
        assert_eq!(saved_text(page).await?, before, "the last save is damaged");
        catch_files(page).await?;
        press_button(page, "Save it as a file").await?;
        assert!(caught_file(page).await?.contains("a good deal longer"));
        // With room again the next change is saved.
        page.evaluate("Object.keys(localStorage).filter((key) => key.startsWith('filler')).forEach((key) => localStorage.removeItem(key))").await?;
        page.evaluate(
            "(() => { const field = document.getElementById('household-name'); field.value = 'Short'; field.dispatchEvent(new Event('input', { bubbles: true })); })()",
        )
        .await?;
        page.wait_until("!document.querySelector('.notices').innerText.includes('not saved')")
            .await?;
        assert!(
            saved_text(page)
                .await?
                .as_str()
                .is_some_and(|text| text.contains("\"Short\""))
        );
        Ok(())
    });
}

#[test]
fn two_tabs_do_not_write_over_each_other() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        let first = page.driver.window().await?;
        let address = page.address().to_owned();
        page.driver.new_tab().await?;
        let windows = page.driver.windows().await?;
        let second = windows
            .iter()
            .find(|window| **window != first)
            .ok_or("no second tab")?
            .clone();
        page.driver.switch_to_window(second).await?;
        page.driver.goto(&address).await?;
        page.wait_for_start().await?;
        page.wait_for_text(".saved", "saved").await?;
        let rename = "(() => { const field = document.getElementById('household-name'); field.value = given[0]; field.dispatchEvent(new Event('input', { bubbles: true })); field.dispatchEvent(new Event('blur')); })()";
        page.evaluate_with(rename, vec!["Named in the second tab".into()])
            .await?;
        page.wait_until("localStorage.getItem('couplet.household.1').includes('second tab')")
            .await?;
        page.driver.switch_to_window(first).await?;
        page.wait_for_text(".notices", "changed in another tab")
            .await?;
        // A change here is not written over the other tab's.
        page.evaluate_with(rename, vec!["Named in the first tab".into()])
            .await?;
        page.wait_for_text(".saved", "not saved").await?;
        assert_eq!(
            page.evaluate("localStorage.getItem('couplet.household.1').includes('second tab')")
                .await?,
            true
        );
        press_button(page, "Take over the other tab\u{2019}s version").await?;
        page.wait_for_text("#drawing", "Named in the second tab")
            .await?;
        page.wait_until("document.querySelector('.saved').innerText.startsWith('saved')")
            .await?;
        Ok(())
    });
}

#[test]
fn a_deleted_household_can_be_brought_back() {
    visit(Visit::default(), async |page| {
        page.wait_for_text(".saved", "saved").await?;
        let before = saved_text(page).await?;
        press_button(page, "Copy this one").await?;
        page.wait_for_text("#drawing", "Alder Ford 2").await?;
        press_button(page, "Delete this one").await?;
        page.wait_for_text(".notices", "was deleted").await?;
        assert_eq!(saved_text(page).await?, before);
        press_button(page, "Bring it back").await?;
        page.wait_for_text("#drawing", "Alder Ford 2").await?;
        page.wait_until("Object.keys(localStorage).filter((key) => key.startsWith('couplet.household.')).length === 2").await?;
        Ok(())
    });
}
