"""The tables of the ledger, as numbered steps from an empty file to the newest version.

A step that was ever released is never changed; a new need is a new step at the end. The file's ``user_version`` is the
number of the last step that it has been through. Conventions: lengths of readings and results are mm, of stock and
pieces whole tenths of a millimetre; money is exact decimal text in the shop's currency; moments are UTC in ISO 8601,
days are ISO dates. Rows are only ever added: what changes later is a further row. The exceptions are the mark
``superseded_by``, which goes by itself when the newer survey does, and how much of an order line has come.
"""

from __future__ import annotations

from dataclasses import dataclass

#: Stands in the file's header and tells a ledger from any other SQLite file: the letters "RWLG".
APPLICATION_ID = 0x52574C47


@dataclass(frozen=True, slots=True)
class Step:
    """One migration: its number, what it brings, and its statements, separated by semicolons at the end of a line."""

    number: int
    brings: str
    sql: str

    @property
    def statements(self) -> list[str]:
        """Each statement of the step, in order."""
        return [statement for part in self.sql.split(";\n") if (statement := part.strip())]


_SURVEYS = """
CREATE TABLE entry (
  id INTEGER PRIMARY KEY,
  kind TEXT NOT NULL CHECK (kind IN ('week', 'delivered', 'not coming', 'cancelled', 'resumed')),
  state TEXT NOT NULL CHECK (state IN ('prepared', 'done')),
  token TEXT NOT NULL UNIQUE,
  at TEXT NOT NULL,
  machine TEXT NOT NULL,
  folder TEXT NOT NULL DEFAULT '',
  out TEXT NOT NULL DEFAULT '',
  shop_book TEXT NOT NULL DEFAULT '',
  currency TEXT NOT NULL DEFAULT '',
  program TEXT NOT NULL
);
CREATE INDEX entry_prepared ON entry (state) WHERE state = 'prepared';
CREATE TABLE instrument (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE
);
CREATE INDEX instrument_entry ON instrument (entry_id);
CREATE TABLE survey (
  id INTEGER PRIMARY KEY,
  instrument_id INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  superseded_by INTEGER REFERENCES survey ON DELETE SET NULL,
  fingerprint TEXT NOT NULL,
  file TEXT NOT NULL,
  order_no TEXT,
  site TEXT,
  technician TEXT,
  survey_date TEXT,
  needed_by TEXT,
  maker TEXT,
  model TEXT,
  serial TEXT,
  unit TEXT,
  step_mm REAL,
  sections INTEGER NOT NULL,
  remarks TEXT,
  order_key TEXT,
  piano_key TEXT,
  model_key TEXT,
  UNIQUE (instrument_id, fingerprint)
);
CREATE INDEX survey_entry ON survey (entry_id);
CREATE INDEX survey_superseded_by ON survey (superseded_by) WHERE superseded_by IS NOT NULL;
CREATE INDEX survey_fingerprint ON survey (fingerprint);
CREATE INDEX survey_order ON survey (order_key);
CREATE INDEX survey_piano ON survey (piano_key);
CREATE INDEX survey_model ON survey (model_key) WHERE superseded_by IS NULL;
CREATE INDEX survey_file ON survey (file);
CREATE TABLE reading (
  survey_id INTEGER NOT NULL REFERENCES survey ON DELETE CASCADE,
  field TEXT NOT NULL,
  sheet TEXT NOT NULL,
  cell TEXT NOT NULL,
  text TEXT NOT NULL,
  number REAL,
  words TEXT,
  unit TEXT NOT NULL,
  step_mm REAL,
  problem TEXT,
  PRIMARY KEY (survey_id, field)
) WITHOUT ROWID;
CREATE TABLE change (
  survey_id INTEGER NOT NULL REFERENCES survey ON DELETE CASCADE,
  field TEXT NOT NULL,
  sheet TEXT NOT NULL,
  cell TEXT NOT NULL,
  old TEXT NOT NULL,
  new TEXT NOT NULL,
  PRIMARY KEY (survey_id, field)
) WITHOUT ROWID;
CREATE TABLE decision (
  id INTEGER PRIMARY KEY,
  survey_id INTEGER NOT NULL REFERENCES survey ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  fingerprint TEXT NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('release', 'confirm', 'hold')),
  lever_force_n REAL
);
CREATE INDEX decision_survey ON decision (survey_id, id);
CREATE INDEX decision_entry ON decision (entry_id);
CREATE TABLE finding (
  decision_id INTEGER NOT NULL REFERENCES decision ON DELETE CASCADE,
  number INTEGER NOT NULL,
  rule TEXT NOT NULL,
  severity TEXT NOT NULL CHECK (severity IN ('fix', 'confirm', 'note')),
  field TEXT,
  sheet TEXT,
  cell TEXT,
  message TEXT NOT NULL,
  PRIMARY KEY (decision_id, number)
) WITHOUT ROWID;
CREATE TABLE section (
  decision_id INTEGER NOT NULL REFERENCES decision ON DELETE CASCADE,
  section INTEGER NOT NULL,
  register TEXT,
  first_note INTEGER,
  last_note INTEGER,
  dampers INTEGER,
  pitch_mm REAL,
  wires TEXT NOT NULL,
  slip TEXT,
  slip_odds REAL,
  angle_deg REAL,
  side TEXT,
  centre_line_mm REAL,
  carrier TEXT,
  edge_mm REAL,
  length_mm REAL,
  saw_angle_deg REAL,
  saw_hand TEXT,
  felt TEXT,
  felt_length_mm REAL,
  felt_width_mm REAL,
  foot TEXT,
  stations TEXT NOT NULL,
  reliefs TEXT NOT NULL,
  stack_mm REAL,
  free_mm REAL,
  guard_mm REAL,
  crank TEXT,
  lift_mm REAL,
  deflection_mm REAL,
  press_min_mm REAL,
  press_max_mm REAL,
  press_force_n REAL,
  PRIMARY KEY (decision_id, section)
) WITHOUT ROWID;
CREATE VIEW current_survey AS SELECT * FROM survey WHERE superseded_by IS NULL;
CREATE VIEW current_decision AS
  SELECT d.* FROM decision d JOIN survey s ON s.id = d.survey_id AND s.superseded_by IS NULL
  WHERE d.id = (SELECT max(later.id) FROM decision later WHERE later.survey_id = d.survey_id);
"""

_STOCK = """
CREATE TABLE stock (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  item TEXT NOT NULL,
  length INTEGER NOT NULL,
  width INTEGER NOT NULL,
  unit TEXT NOT NULL,
  offcut INTEGER NOT NULL CHECK (offcut IN (0, 1)),
  rack TEXT NOT NULL,
  UNIQUE (item, length, width, unit, offcut, rack)
);
CREATE INDEX stock_entry ON stock (entry_id);
CREATE TABLE book_figure (
  stock_id INTEGER NOT NULL REFERENCES stock ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  on_hand INTEGER,
  foretold INTEGER,
  PRIMARY KEY (stock_id, entry_id)
) WITHOUT ROWID;
CREATE INDEX book_figure_entry ON book_figure (entry_id);
CREATE TABLE order_line (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  stock_id INTEGER REFERENCES stock ON DELETE CASCADE,
  item TEXT NOT NULL,
  buy_item TEXT NOT NULL,
  name TEXT NOT NULL,
  unit TEXT NOT NULL,
  need TEXT NOT NULL,
  on_hand INTEGER NOT NULL,
  on_way INTEGER NOT NULL,
  buy INTEGER NOT NULL CHECK (buy >= 0),
  pack INTEGER NOT NULL,
  packs INTEGER NOT NULL,
  cost TEXT,
  supplier TEXT NOT NULL,
  needed_by TEXT,
  delivered INTEGER NOT NULL DEFAULT 0 CHECK (delivered >= 0),
  cancelled INTEGER NOT NULL DEFAULT 0 CHECK (cancelled >= 0),
  CHECK (delivered + cancelled <= buy)
);
CREATE INDEX order_line_entry ON order_line (entry_id);
CREATE INDEX order_line_open ON order_line (stock_id) WHERE buy > delivered + cancelled;
CREATE TABLE order_need (
  order_line_id INTEGER NOT NULL REFERENCES order_line ON DELETE CASCADE,
  order_no TEXT NOT NULL,
  needed_by TEXT,
  PRIMARY KEY (order_line_id, order_no)
) WITHOUT ROWID;
CREATE TABLE order_member (
  order_line_id INTEGER NOT NULL REFERENCES order_line ON DELETE CASCADE,
  item TEXT NOT NULL,
  PRIMARY KEY (order_line_id, item)
) WITHOUT ROWID;
CREATE TABLE kit (
  id INTEGER PRIMARY KEY,
  instrument_id INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,
  survey_id INTEGER NOT NULL REFERENCES survey ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  order_no TEXT NOT NULL,
  needed_by TEXT,
  complete INTEGER NOT NULL CHECK (complete IN (0, 1))
);
CREATE INDEX kit_instrument ON kit (instrument_id, id);
CREATE INDEX kit_entry ON kit (entry_id);
CREATE INDEX kit_survey ON kit (survey_id);
CREATE TABLE kit_part (
  kit_id INTEGER NOT NULL REFERENCES kit ON DELETE CASCADE,
  item TEXT NOT NULL,
  unit TEXT NOT NULL,
  quantity TEXT NOT NULL,
  PRIMARY KEY (kit_id, item)
) WITHOUT ROWID;
CREATE TABLE kit_piece (
  kit_id INTEGER NOT NULL REFERENCES kit ON DELETE CASCADE,
  section INTEGER NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('bar', 'felt')),
  item TEXT NOT NULL,
  length INTEGER NOT NULL,
  width INTEGER NOT NULL,
  usable INTEGER NOT NULL,
  worth_keeping INTEGER NOT NULL CHECK (worth_keeping IN (0, 1)),
  saw TEXT NOT NULL,
  PRIMARY KEY (kit_id, section, kind)
) WITHOUT ROWID;
CREATE TABLE cancellation (
  id INTEGER PRIMARY KEY,
  instrument_id INTEGER NOT NULL REFERENCES instrument ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  kit_id INTEGER REFERENCES kit ON DELETE CASCADE,
  resumed INTEGER NOT NULL DEFAULT 0 CHECK (resumed IN (0, 1))
);
CREATE INDEX cancellation_instrument ON cancellation (instrument_id, id);
CREATE INDEX cancellation_entry ON cancellation (entry_id);
CREATE TABLE bar (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  item TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('bar', 'felt')),
  length INTEGER NOT NULL,
  width INTEGER NOT NULL,
  offcut INTEGER NOT NULL CHECK (offcut IN (0, 1)),
  rack TEXT NOT NULL,
  kerf INTEGER NOT NULL
);
CREATE INDEX bar_entry ON bar (entry_id);
CREATE TABLE piece (
  bar_id INTEGER NOT NULL REFERENCES bar ON DELETE CASCADE,
  number INTEGER NOT NULL,
  label TEXT NOT NULL,
  order_no TEXT NOT NULL,
  length INTEGER NOT NULL,
  width INTEGER NOT NULL,
  PRIMARY KEY (bar_id, number)
) WITHOUT ROWID;
CREATE TABLE remnant (
  bar_id INTEGER NOT NULL REFERENCES bar ON DELETE CASCADE,
  number INTEGER NOT NULL,
  length INTEGER NOT NULL,
  width INTEGER NOT NULL,
  rack TEXT,
  PRIMARY KEY (bar_id, number)
) WITHOUT ROWID;
CREATE TABLE movement (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entry ON DELETE CASCADE,
  stock_id INTEGER NOT NULL REFERENCES stock ON DELETE CASCADE,
  kind TEXT NOT NULL CHECK (kind IN ('counted', 'delivered', 'used', 'kept', 'returned')),
  change INTEGER NOT NULL,
  before INTEGER NOT NULL,
  after INTEGER NOT NULL,
  order_line_id INTEGER REFERENCES order_line ON DELETE CASCADE,
  kit_id INTEGER REFERENCES kit ON DELETE CASCADE,
  CHECK (before + change = after)
);
CREATE INDEX movement_stock ON movement (stock_id, id);
CREATE INDEX movement_entry ON movement (entry_id);
CREATE INDEX movement_line ON movement (order_line_id) WHERE order_line_id IS NOT NULL;
CREATE INDEX movement_kit ON movement (kit_id) WHERE kit_id IS NOT NULL;
CREATE VIEW shelf AS
  SELECT s.id AS stock_id, s.item, s.length, s.width, s.unit, s.offcut, s.rack,
    max(coalesce(m.after, 0), 0) AS on_hand,
    max(-coalesce(m.after, 0), 0) AS promised,
    coalesce((SELECT sum(l.buy - l.delivered - l.cancelled) FROM order_line l
      WHERE l.stock_id = s.id AND l.buy > l.delivered + l.cancelled), 0) AS on_way
  FROM stock s LEFT JOIN movement m ON m.id =
    (SELECT max(latest.id) FROM movement latest WHERE latest.stock_id = s.id);
CREATE VIEW current_kit AS
  SELECT k.* FROM kit k
  WHERE k.id = (SELECT max(later.id) FROM kit later WHERE later.instrument_id = k.instrument_id)
    AND NOT EXISTS (SELECT 1 FROM cancellation c WHERE c.kit_id = k.id);
CREATE VIEW cancelled_instrument AS
  SELECT c.* FROM cancellation c
  WHERE c.resumed = 0
    AND c.id = (SELECT max(later.id) FROM cancellation later WHERE later.instrument_id = c.instrument_id);
"""

STEPS: tuple[Step, ...] = (
    Step(1, "what was read, found and decided", _SURVEYS),
    Step(2, "what was ordered, cut and is on hand", _STOCK),
)

NEWEST = STEPS[-1].number
