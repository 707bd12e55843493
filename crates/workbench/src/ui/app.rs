//! The workbench: the document, what follows from it, and the one place where actions are done.

mod held;

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use build::{Build, Deriver, Edit, History, Part, Study, file};
use eframe::egui::{self, ThemePreference, ViewportCommand};
use sheets::Which;
use units::{Fraction, System};

use super::bench::{Action, Bench, Tray};
use super::brakes_page::BrakesPage;
use super::canvas::View;
use super::clock;
use super::command::{COMMANDS, Command};
use super::copy;
use super::dialog::{Dialog, fresh_id};
use super::driveline_page::phase::DrivelinePhase;
use super::files::Want;
use super::filing::Filing;
use super::front_page::FrontPage;
use super::mock_up_page::{self, MockUpPage};
use super::preview::Preview;
use super::rear_page::{RearPage, Topic};
use super::run_log::RunLogPage;
use super::run_page::{self, RunPage};
use super::settings::Settings;
use super::theme::{self, Palette};
use super::tube_page::{self, TubePage};
use super::weld_page::{self, WeldPage};

/// The phase of the front end.
const FRONT_END: &str = "front_end";

/// Everything the window holds.
pub struct Workbench {
    pub(super) history: History,
    deriver: Deriver,
    pub(super) study: Arc<Study>,
    derived: Arc<Build>,
    baseline: Option<(Arc<Build>, Arc<Study>)>,
    pub(super) filing: Filing,
    pub(super) settings: Settings,
    theme_set: Option<Option<bool>>,
    phase: String,
    selected: Option<Part>,
    finding: usize,
    rear: RearPage,
    weld: WeldPage,
    tubes: TubePage,
    mock_up: MockUpPage,
    brakes: BrakesPage,
    driveline: DrivelinePhase,
    launch_run: RunPage,
    run_log: RunLogPage,
    front: FrontPage,
    pub(super) preview: Option<Preview>,
    pub(super) sheet: Which,
    pub(super) dialog: Option<Dialog>,
    pub(super) said: Option<String>,
    pub(super) tray: Tray,
    /// A question that was answered with an edit, until the edit is known to be taken.
    answered: Option<Dialog>,
    /// The last edit was refused.
    refused: bool,
    /// Commands that wait for what is being typed to be taken.
    later: Vec<Command>,
    /// Counts documents: what is being typed belongs to one of them.
    generation: u64,
    /// A real window shows it.
    pub(super) shown: bool,
    /// The window behind is cleared to the ground colour before each frame.
    cleared: bool,
}

/// The phase of tube work.
const TUBE_WORK: &str = "tube_work";
/// Key of the preferences in the window's storage.
const SETTINGS: &str = "settings";

impl Workbench {
    /// The window's app: preferences from the last time, the first sample as an untitled copy.
    pub fn new(cc: &eframe::CreationContext<'_>) -> Self {
        let settings = cc
            .storage
            .and_then(|s| eframe::get_value(s, SETTINGS))
            .unwrap_or_default();
        theme::install(&cc.egui_ctx);
        // Ctrl+Q goes through our own close guard.
        cc.egui_ctx.options_mut(|o| o.quit_shortcuts.clear());
        let mut app = Self::with(settings, sample(0));
        app.cleared = cc.gl.is_some();
        app.shown = app.cleared;
        app
    }

    /// A workbench on a build that has no file yet.
    pub fn with(settings: Settings, build: Build) -> Self {
        let history = History::new(build);
        let mut deriver = Deriver::default();
        let study = Arc::new(deriver.derive(history.build()));
        let derived = Arc::clone(history.build());
        let phase = first_phase(&derived);
        Self {
            history,
            deriver,
            study,
            derived,
            baseline: None,
            settings,
            theme_set: None,
            phase,
            selected: None,
            finding: 0,
            rear: RearPage::default(),
            weld: WeldPage::default(),
            tubes: TubePage::default(),
            mock_up: MockUpPage::default(),
            brakes: BrakesPage::default(),
            driveline: DrivelinePhase::default(),
            launch_run: RunPage::default(),
            run_log: RunLogPage::default(),
            front: FrontPage::default(),
            preview: None,
            sheet: Which::default(),
            dialog: None,
            said: None,
            tray: Tray::default(),
            answered: None,
            refused: false,
            later: Vec::new(),
            generation: 0,
            shown: false,
            filing: Filing::default(),
            cleared: false,
        }
    }

    /// The document now.
    pub fn build(&self) -> &Arc<Build> {
        self.history.build()
    }

    /// What follows from it.
    pub fn study(&self) -> &Study {
        &self.study
    }

    /// Preferences.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The page of the front end.
    pub fn front_page(&self) -> &FrontPage {
        &self.front
    }

    /// The page of the rear axle.
    pub fn rear_page(&self) -> &RearPage {
        &self.rear
    }

    /// The page of the assembly.
    pub fn weld_page(&self) -> &WeldPage {
        &self.weld
    }

    /// The mock-up page.
    pub fn mock_up_page(&self) -> &MockUpPage {
        &self.mock_up
    }

    /// The page of the brakes.
    pub fn brakes_page(&self) -> &BrakesPage {
        &self.brakes
    }

    /// The same, to turn to a topic.
    pub fn brakes_page_mut(&mut self) -> &mut BrakesPage {
        &mut self.brakes
    }

    /// The page of the driveline.
    pub fn driveline_page(&self) -> &DrivelinePhase {
        &self.driveline
    }

    /// The same, to turn to a topic.
    pub fn driveline_page_mut(&mut self) -> &mut DrivelinePhase {
        &mut self.driveline
    }

    /// The page of tube work.
    pub fn tube_page(&self) -> &TubePage {
        &self.tubes
    }

    /// The page of the launch run.
    pub fn run_page(&self) -> &RunPage {
        &self.launch_run
    }

    /// Does an action, as a click would; for tests and benches.
    pub fn act(&mut self, ctx: &egui::Context, action: Action) {
        self.tray.put(action);
        self.settle(ctx);
    }

    /// Does everything in the tray, in order: the one place where the document changes.
    fn settle(&mut self, ctx: &egui::Context) {
        let actions = std::mem::take(&mut self.tray.0);
        if actions.is_empty() {
            return;
        }
        for action in actions {
            self.perform(ctx, action);
        }
        self.derive();
        // The next frame shows what was done.
        ctx.request_repaint();
    }

    pub(super) fn perform(&mut self, ctx: &egui::Context, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(&edit),
            Action::BeginGesture => self.history.begin_gesture(),
            Action::EndGesture => self.history.end_gesture(),
            Action::CancelGesture => self.history.cancel_gesture(),
            Action::Run(command) => self.run(ctx, command),
            Action::Select(part) => self.select(part),
            Action::Phase(id) => self.show_phase(id),
            Action::Copy { text, what } => {
                ctx.copy_text(text);
                self.said = Some(format!("{what} copied: paste it into a spreadsheet"));
            }
            Action::Say(text) => self.said = Some(text),
            Action::Prefer(settings) => self.settings = settings,
            Action::Ask(dialog) => self.dialog = Some(dialog),
            Action::OpenPath(path) => self.open(path),
            Action::OpenSample(i) => self.guarded(Action::OpenSample(i), |me| {
                me.adopt(sample(i), None);
            }),
            Action::SavePath { path, asked } => self.save_to(&path, asked),
            Action::SaveThen(then) => self.save_then(ctx, *then),
            Action::Sheet(which) => {
                self.sheet = which;
                self.refresh_preview();
            }
            Action::WriteSheet(path) => self.write_sheet(&path),
            Action::ReadRuns(path) => self.read_runs(&path),
            Action::WriteRuns(path) => self.write_runs(&path),
            Action::FileDialog(want) => {
                let mut name = self.history.build().name.clone();
                if matches!(want, Want::Sheet(_)) {
                    name = format!("{name} {}", self.sheet.title().to_lowercase());
                }
                if want == Want::WriteRuns {
                    name = format!("{name} runs");
                }
                self.filing
                    .dialogs
                    .ask(ctx, want, self.filing.path.as_deref(), &name);
            }
            Action::Recover(kept) => self.recover(*kept),
            Action::DropAutosave => self.drop_autosave(),
            Action::GiveUp(then) => self.give_up(ctx, *then),
            Action::CloseNow => self.close_now(ctx),
        }
    }

    pub(super) fn edit(&mut self, edit: &Edit) {
        match self.history.apply(edit) {
            Ok(()) => {
                self.said = None;
                self.filing.changed_at = Some(Instant::now());
            }
            Err(e) => {
                self.said = Some(e.to_string());
                self.refused = true;
            }
        }
    }

    /// Another document: nothing of the last one's page, part or draft is meant for it.
    pub(super) fn start_over(&mut self) {
        self.generation += 1;
        self.baseline = None;
        self.selected = None;
        self.preview = None;
        self.said = None;
        self.rear.fit();
        self.rear.travel = 0.0;
        self.weld.start_over();
        self.tubes.start_over();
        self.front.start_over();
        self.mock_up.start_over();
        self.launch_run.start_over();
    }

    /// Takes what is being typed, then runs the command in the next frame.
    pub(super) fn after_typing(&mut self, ctx: &egui::Context, command: Command) {
        ctx.memory_mut(|m| {
            if let Some(id) = m.focused() {
                m.surrender_focus(id);
            }
        });
        self.later.push(command);
        ctx.request_repaint();
    }

    fn show_phase(&mut self, id: String) {
        if self.history.build().phase(&id).is_some() {
            self.phase = id;
            self.preview = None;
        }
    }

    fn select(&mut self, part: Part) {
        let phase = match &part {
            // The two joints are drawn with the rear links and in the driveline's own phase.
            Part::Driveshaft | Part::Reading(_)
                if self.phase == "driveline" && DrivelinePhase::shows(&part) =>
            {
                Some("driveline".to_owned())
            }
            Part::Bracket(_) | Part::Link(_) | Part::Coilover(_) | Part::Driveshaft => {
                Some("rear_links".to_owned())
            }
            Part::Reading(id) if DrivelinePhase::own(id) => Some("driveline".to_owned()),
            Part::Reading(id)
                if ["rear.", "launch.", "spring.", "link.", "driveline."]
                    .iter()
                    .any(|of| id.starts_with(of)) =>
            {
                Some("rear_links".to_owned())
            }
            Part::Reading(_) | Part::Field(_) if rolling_phase(&part).is_some() => {
                rolling_phase(&part).map(str::to_owned)
            }
            Part::Body(_) => Some("mock_up".to_owned()),
            Part::Reading(id) if tube_page::is_of(id) => Some(TUBE_WORK.to_owned()),
            Part::Reading(id) if id.starts_with("fit_up.") => Some("fit_up".to_owned()),
            Part::Reading(id) if id.starts_with("weld.") => Some("weld_out".to_owned()),
            Part::Field(id) if id.starts_with("weld_out.") => {
                self.weld.weld_out = weld_page::Topic::Gas;
                Some("weld_out".to_owned())
            }
            Part::Field(id) if id.starts_with("power.") => Some("rear_links".to_owned()),
            Part::Reading(_) | Part::Field(_) => Some("goal".to_owned()),
            // The drawing shows them in either phase: a click there stays there.
            Part::Joint(_) if self.draws() => None,
            Part::Joint(_) => Some("fit_up".to_owned()),
            Part::Node(_) | Part::Tube(_) | Part::Plate(_) if self.draws() => None,
            Part::Dimension(_) if self.weld.draws(&self.phase) => None,
            Part::Node(_) | Part::Tube(_) if self.history.build().phase(TUBE_WORK).is_some() => {
                Some(TUBE_WORK.to_owned())
            }
            Part::Node(_)
            | Part::Tube(_)
            | Part::Plate(_)
            | Part::Dimension(_)
            | Part::Coupon(_)
            | Part::Correction(_) => Some("weld_out".to_owned()),
            Part::Phase(id) | Part::Check(id, _) => Some(id.clone()),
            Part::Build => None,
        };
        self.front.bring(&part);
        if let Some(phase) = phase {
            // What is in the drawing is marked there, whatever stands below it.
            let elsewhere = phase != self.phase;
            let lists = matches!(part, Part::Coupon(_) | Part::Correction(_));
            if let Some(topic) = weld_page::Topic::of(&part).filter(|_| elsewhere || lists) {
                self.weld.weld_out = topic;
            }
            if elsewhere && phase == TUBE_WORK {
                self.tubes.topic = tube_page::Topic::of(&part).unwrap_or(self.tubes.topic);
            }
            self.brakes.jump(&part, elsewhere);
            self.driveline.jump(&part);
            self.show_phase(phase);
        }
        if let Some(topic) = run_page::Topic::of(&part).filter(|_| self.phase == "goal") {
            self.launch_run.topic = topic;
        }
        if let Some(topic) = mock_up_page::Topic::of(&part) {
            self.mock_up.topic = topic;
        }
        // A part that the topic on the bench shows as well stays there.
        if let Some(topic) = Topic::of(&part).filter(|_| !self.rear.topic.shows(&part)) {
            self.rear.topic = topic;
        }
        self.selected = match part {
            Part::Build => None,
            part => Some(part),
        };
    }

    fn run(&mut self, ctx: &egui::Context, command: Command) {
        let build = Arc::clone(self.history.build());
        let shop = self.settings.shop;
        match command {
            Command::Undo => {
                if self.history.undo() {
                    self.filing.changed_at = Some(Instant::now());
                }
            }
            Command::Redo => {
                if self.history.redo() {
                    self.filing.changed_at = Some(Instant::now());
                }
            }
            Command::New => self.guarded(Action::Run(Command::New), |me| {
                me.adopt(Build::empty("New build"), None)
            }),
            Command::Open => self.perform(ctx, Action::FileDialog(Want::Open)),
            Command::Save => self.save(ctx),
            Command::SaveAs => self.perform(ctx, Action::FileDialog(Want::Save)),
            Command::Print => {
                // The sheet of the phase at hand; where it has none, or shows one of its own, that of before.
                let here = |w: &Which| w.phase() == Some(self.phase.as_str());
                if !here(&self.sheet) {
                    let first = Which::ALL.into_iter().find(here);
                    self.sheet = first.unwrap_or(self.sheet);
                }
                self.refresh_preview();
            }
            Command::Find => {
                self.dialog = Some(Dialog::Find {
                    text: String::new(),
                    chosen: 0,
                });
            }
            Command::Fit => {
                self.rear.fit();
                self.driveline.fit();
                self.weld.view.fit();
                self.tubes.view.fit();
                self.front.fit();
                self.mock_up.fit();
            }
            Command::Closer => self.main_view().zoom_middle(1.25),
            Command::Further => self.main_view().zoom_middle(0.8),
            Command::PinBaseline => {
                self.baseline = Some((build, Arc::clone(&self.study)));
                self.said = Some("Baseline pinned: the ghost shows how it was".to_owned());
            }
            Command::ClearBaseline => self.baseline = None,
            Command::SwitchUnits => {
                self.settings.shop.system = match shop.system {
                    System::InchPound => System::Si,
                    System::Si => System::InchPound,
                };
            }
            Command::NextFraction => {
                self.settings.shop.fraction = match shop.fraction {
                    Fraction::Sixteenth => Fraction::ThirtySecond,
                    Fraction::ThirtySecond => Fraction::SixtyFourth,
                    Fraction::SixtyFourth => Fraction::Decimal,
                    Fraction::Decimal => Fraction::Sixteenth,
                };
            }
            Command::SwitchTheme => self.settings.dark = Some(!is_dark(ctx)),
            Command::SwitchSnap => {
                self.settings.snap = !self.settings.snap;
                let how = if self.settings.snap {
                    "by one display step"
                } else {
                    "freely"
                };
                self.said = Some(format!("Brackets move {how}"));
            }
            Command::NextPhase => self.step_phase(1),
            Command::PreviousPhase => self.step_phase(-1),
            Command::NextFinding => self.next_finding(),
            Command::Findings => self.dialog = Some(Dialog::Findings),
            Command::CopyReadings => self.copy(ctx, copy::readings(&self.study, &shop), "Readings"),
            Command::CopyHoles => self.copy(ctx, copy::holes(&build, &shop), "Bracket holes"),
            Command::CopyFitUp => {
                self.copy(ctx, copy::fit_up(&build, &self.study, &shop), "Fit-up log")
            }
            Command::Rename => {
                self.dialog = Some(Dialog::Rename {
                    name: build.name.clone(),
                    revision: build.revision.clone(),
                    note: build.note.clone(),
                });
            }
            Command::AddBracket => self.dialog = Some(Dialog::bracket(None)),
            Command::AddLink => self.dialog = Some(Dialog::link(&build, None)),
            Command::AddJoint => self.add_joint(&build),
            Command::AddCheck => {
                self.dialog = build.phase(&self.phase).map(|p| Dialog::check(p, None))
            }
            Command::AddPhase => {
                self.dialog = Some(Dialog::Phase {
                    id: None,
                    title: String::new(),
                    caution: String::new(),
                    waits_for: Vec::new(),
                });
            }
            Command::EditPhase => {
                self.dialog = build.phase(&self.phase).map(|p| Dialog::Phase {
                    id: Some(p.id.clone()),
                    title: p.title.clone(),
                    caution: p.caution.clone(),
                    waits_for: p.waits_for.clone(),
                });
            }
            Command::CarForm => {
                let goal = if build.phase("goal").is_some() {
                    "goal".to_owned()
                } else {
                    first_phase(&build)
                };
                self.launch_run.topic = run_page::Topic::Car;
                self.show_phase(goal);
            }
            Command::Keys => self.dialog = Some(Dialog::Keys),
            Command::About => self.dialog = Some(Dialog::About),
            Command::Quit => ctx.send_viewport_cmd(ViewportCommand::Close),
        }
    }

    /// Is the assembly in sight?
    fn draws(&self) -> bool {
        self.phase == TUBE_WORK || self.weld.draws(&self.phase)
    }

    /// The drawing that the zoom keys act on.
    fn main_view(&mut self) -> &mut View {
        if self.phase == TUBE_WORK {
            self.tubes.view.view_mut()
        } else if self.weld.draws(&self.phase) {
            self.weld.view.view_mut()
        } else if self.phase == FRONT_END {
            self.front.main_view()
        } else if self.phase == "mock_up" {
            self.mock_up.view_mut()
        } else if self.phase == "driveline" {
            self.driveline.main_view()
        } else {
            self.rear.main_view()
        }
    }

    fn copy(&mut self, ctx: &egui::Context, text: String, what: &str) {
        self.perform(
            ctx,
            Action::Copy {
                text,
                what: what.to_owned(),
            },
        );
    }

    fn add_joint(&mut self, build: &Build) {
        let n = build.fit_up.joints.len() + 1;
        let id = fresh_id(&format!("J{n}"), |id| {
            build.fit_up.joints.iter().any(|j| j.id == id)
        });
        let joint = build::Joint {
            who: self.settings.who.clone(),
            when: clock::now(),
            ..build::Joint::new(
                &id,
                &format!("Joint {n}"),
                build::JointKind::Tee { fillets: 1 },
                units::Length::from_inches(0.125),
                units::Length::from_inches(0.1875),
            )
        };
        self.edit(&Edit::PutJoint(joint));
        self.select(Part::Joint(id));
    }

    fn step_phase(&mut self, by: isize) {
        let phases = &self.history.build().phases;
        let now = phases.iter().position(|p| p.id == self.phase).unwrap_or(0);
        let next = now
            .saturating_add_signed(by)
            .min(phases.len().saturating_sub(1));
        if let Some(p) = phases.get(next) {
            let id = p.id.clone();
            self.show_phase(id);
        }
    }

    fn next_finding(&mut self) {
        let n = self.study.findings.len();
        if n == 0 {
            self.said = Some("No remarks".to_owned());
            return;
        }
        self.finding %= n;
        let f = self.study.findings[self.finding].clone();
        self.finding += 1;
        let said = f.sentences(&self.settings.shop);
        self.select(f.part);
        self.said = Some(said);
    }

    fn keys(&mut self, ctx: &egui::Context) {
        // A drag is finished or given up before anything else begins.
        if self.dialog.is_some() || self.history.in_gesture() {
            return;
        }
        let typing = ctx.text_edit_focused();
        for e in COMMANDS {
            let Some(shortcut) = &e.shortcut else {
                continue;
            };
            if typing && e.command.yields_to_typing() {
                continue;
            }
            if ctx.input_mut(|i| i.consume_shortcut(shortcut)) {
                if typing {
                    self.after_typing(ctx, e.command);
                } else {
                    self.tray.put(Action::Run(e.command));
                }
            }
        }
    }

    fn apply_theme(&mut self, ctx: &egui::Context) {
        if self.theme_set != Some(self.settings.dark) {
            self.theme_set = Some(self.settings.dark);
            ctx.set_theme(match self.settings.dark {
                None => ThemePreference::System,
                Some(true) => ThemePreference::Dark,
                Some(false) => ThemePreference::Light,
            });
        }
    }

    /// One frame.
    pub fn frame(&mut self, ui: &mut egui::Ui) {
        let ctx = ui.ctx().clone();
        self.apply_theme(&ctx);
        let later = std::mem::take(&mut self.later);
        self.tray.0.extend(later.into_iter().map(Action::Run));
        self.keys(&ctx);
        self.read_handles(&ctx);
        self.close_gesture(&ctx);
        self.settle(&ctx);
        if self.preview.is_some() {
            self.refresh_preview();
        }
        self.draw(ui);
        self.refused = false;
        self.settle(&ctx);
        // What was typed into a dialog is not lost because one value in it was refused.
        if let Some(dialog) = self.answered.take()
            && self.refused
            && self.dialog.is_none()
        {
            self.dialog = Some(dialog);
        }
    }

    fn draw(&mut self, ui: &mut egui::Ui) {
        let build = Arc::clone(self.history.build());
        let study = Arc::clone(&self.study);
        let palette = Palette::of(ui.ctx().theme());
        let settings = self.settings.clone();
        let selected = self.selected.clone();
        let baseline = self.baseline.clone();
        let bench = Bench {
            build: &build,
            study: &study,
            baseline: baseline.as_ref().map(|(b, s)| (&**b, &**s)),
            palette: &palette,
            settings: &settings,
            selected: selected.as_ref(),
            generation: self.generation,
        };
        let mut tray = std::mem::take(&mut self.tray);
        let head = super::frame::Head {
            undo: self.history.undo_label(),
            redo: self.history.redo_label(),
            unsaved: self.history.is_unsaved(),
            saved_at: self.filing.saved_at.as_deref(),
            path: self.filing.path.as_deref(),
            trouble: self.filing.lock_trouble.as_deref(),
        };
        super::frame::top(ui, &bench, &head, &mut tray);
        super::frame::status(ui, &bench, self.said.as_deref(), &mut tray);
        super::frame::left(ui, &bench, &self.phase, &mut tray);
        super::frame::right(ui, &bench, &self.phase, self.rear.topic, &mut tray);
        // A real window is cleared to the ground colour: filling it again would be paid for twice.
        let ground = egui::Frame::NONE.fill(if self.cleared {
            egui::Color32::TRANSPARENT
        } else {
            palette.ground
        });
        egui::CentralPanel::default().frame(ground).show(ui, |ui| {
            if let Some(preview) = &self.preview {
                if !preview.show(ui, &bench, &mut tray) {
                    self.preview = None;
                }
            } else {
                match self.phase.as_str() {
                    "rear_links" => self.rear.show(ui, &bench, &mut tray),
                    FRONT_END => self.front.show(ui, &bench, FRONT_END, &mut tray),
                    "goal" => self.launch_run.show(ui, &bench, &mut tray),
                    phase @ ("fit_up" | "weld_out") => self.weld.show(ui, &bench, phase, &mut tray),
                    TUBE_WORK => self.tubes.show(ui, &bench, &mut tray),
                    "mock_up" => self.mock_up.show(ui, &bench, &mut tray),
                    phase @ "shake_down" => self.run_log.show(ui, &bench, phase, &mut tray),
                    phase @ "plumbing" => self.brakes.show(ui, &bench, phase, &mut tray),
                    phase @ "driveline" => self.driveline.show(ui, &bench, phase, &mut tray),
                    phase => super::bench_page::show(ui, &bench, phase, &mut tray),
                }
            }
        });
        if let Some(mut dialog) = self.dialog.take() {
            let before = dialog.clone();
            if dialog.show(ui.ctx(), &bench, self.said.as_deref(), &mut tray) {
                self.dialog = Some(dialog);
            } else {
                self.answered = Some(before);
            }
        }
        self.tray = tray;
    }
}

impl eframe::App for Workbench {
    fn logic(&mut self, ctx: &egui::Context, _: &mut eframe::Frame) {
        self.outside(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _: &mut eframe::Frame) {
        self.frame(ui);
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        let theme = if visuals.dark_mode {
            egui::Theme::Dark
        } else {
            egui::Theme::Light
        };
        Palette::of(theme).ground.to_normalized_gamma_f32()
    }

    fn save(&mut self, storage: &mut dyn eframe::Storage) {
        eframe::set_value(storage, SETTINGS, &self.settings);
    }
}

/// Is the theme in force dark?
fn is_dark(ctx: &egui::Context) -> bool {
    ctx.theme() == egui::Theme::Dark
}

/// The rear links where there are any, else the first phase.
fn first_phase(build: &Build) -> String {
    let rear = build.phase("rear_links").or_else(|| build.phases.first());
    rear.map(|p| p.id.clone()).unwrap_or_default()
}

/// A shipped sample; a damaged one gives an empty build, and a test keeps them whole.
fn sample(i: usize) -> Build {
    crate::SAMPLES
        .get(i)
        .and_then(|(name, text)| file::parse(text, Path::new(name)).ok())
        .unwrap_or_else(|| Build::empty("New build"))
}

/// The phase that draws this reading or field of the rolling chassis.
fn rolling_phase(part: &Part) -> Option<&'static str> {
    let id = match part {
        Part::Reading(id) => id.as_str(),
        Part::Field(id) => id,
        _ => return None,
    };
    [
        ("front.", "front_end"),
        ("front_end", "front_end"),
        ("brakes", "plumbing"),
        ("driveline.", "driveline"),
        ("clearance.", "mock_up"),
        ("mock_up", "mock_up"),
    ]
    .into_iter()
    .find_map(|(of, phase)| id.starts_with(of).then_some(phase))
}
