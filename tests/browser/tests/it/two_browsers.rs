//! Two people on one job: neither loses what was typed.

use crate::shop::{OSTERBY, TARN};
use hingeline_browser_tests::browser::{PHONE, TABLET};
use hingeline_browser_tests::{Browser, Server};

async fn two(server: &Server) -> (Browser, Browser) {
    let (tarn, osterby) = (Browser::open(TABLET).await, Browser::open(PHONE).await);
    tarn.log_in(server, TARN).await;
    osterby.log_in(server, OSTERBY).await;
    (tarn, osterby)
}

#[tokio::test]
async fn both_values_of_a_field_are_shown() {
    let server = Server::demo();
    let (tarn, osterby) = two(&server).await;
    let page = server.at("/jobs/HP-0231/weigh?stage=as-left&method=trailing-edge-scale");
    tarn.go(&page).await;
    osterby.go(&page).await;
    tarn.fill("tare", "0.05 lb").await;
    tarn.says("Saved as you type.").await;
    osterby.fill("tare", "0.07 lb").await;
    osterby.says("Two people typed into “tare”").await;
    osterby.says("0.05 lb").await;
    osterby.says("0.07 lb").await;
    let mine = "return document.querySelector('.two-typed button')";
    osterby.element(mine, &[]).await.click().await.expect("mine counts");
    osterby.says("Saved as you type.").await;
    osterby.until("mine is saved", "return !document.querySelector('.two-typed')", &[]).await;
    // The other one learns it when the page is opened again.
    for _ in 0..100 {
        tarn.go(&page).await;
        if tarn.value("tare").await == "0.07 lb" {
            break;
        }
    }
    assert_eq!(tarn.value("tare").await, "0.07 lb");
    tarn.close().await;
    osterby.close().await;
}

#[tokio::test]
async fn what_was_written_in_between_is_shown_first() {
    let server = Server::demo();
    let (tarn, osterby) = two(&server).await;
    let page = server.at("/jobs/HP-0231/note");
    tarn.go(&page).await;
    osterby.go(&page).await;
    let remark = "return document.querySelector('main textarea')";
    osterby.element(remark, &[]).await.send_keys("Bearing looked at.").await.expect("a remark");
    osterby.press("Enter the remark").await;
    osterby.says("The remark is entered.").await;
    tarn.element(remark, &[]).await.send_keys("Weight tight.").await.expect("a remark");
    tarn.press("Enter the remark").await;
    tarn.says("Written in between").await;
    tarn.says("Weight tight.").await;
    tarn.press("Enter mine after it").await;
    tarn.go(&server.at("/jobs/HP-0231/ledger")).await;
    tarn.says("Bearing looked at.").await;
    tarn.says("Weight tight.").await;
    tarn.close().await;
    osterby.close().await;
}
