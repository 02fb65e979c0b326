//! The bench without script: a plain form.

use crate::shop::TARN;
use hingeline_browser_tests::browser::TABLET;
use hingeline_browser_tests::steps::By;
use hingeline_browser_tests::steps::Step::{Fill, Press, Says, Select, Tick};
use hingeline_browser_tests::{Browser, Server};

#[tokio::test]
async fn a_weighing_is_worked_out_and_entered() {
    let server = Server::demo();
    let browser = Browser::open(TABLET).await;
    browser.without_script().await;
    browser.log_in(&server, TARN).await;
    browser.go(&server.at("/jobs/HP-0231/weigh?stage=as-left&method=trailing-edge-scale")).await;
    let scripted = browser.ask("return document.querySelectorAll('.scripted, .chips').length", &[]).await;
    assert_eq!(scripted, 0, "scripts ran");
    let typed = [
        Tick("final paint"),
        Tick("tab fitted and locked at neutral"),
        Tick("hinge bearings clean and dry"),
        Select("scale", "S-2"),
        Fill("raising", "0.19 lb; 0.20 lb; 0.19 lb"),
        Fill("lowering", "0.13 lb; 0.14 lb; 0.13 lb"),
        Fill("arm", "17 1/4 in"),
        Select("rule", "R-1"),
        Fill("tare", "0.06 lb"),
        Press("Work it out"),
        Says("tail-heavy"),
    ];
    browser.does(By::Hand, &typed).await;
    // A slip is said beside its field, and everything typed is still there.
    browser.does(By::Hand, &[Fill("arm", "17 quarter"), Press("Enter this weighing")]).await;
    browser.says("✗").await;
    assert_eq!(browser.value("arm").await, "17 quarter");
    assert_eq!(browser.value("raising").await, "0.19 lb; 0.20 lb; 0.19 lb");
    let again = [Fill("arm", "17 1/4 in"), Press("Enter this weighing"), Says("The weighing is entered")];
    browser.does(By::Hand, &again).await;
    browser.close().await;
}
