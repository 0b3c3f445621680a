// How the table looks. Widths are those of the output, not of the window.

export const CSS = `
.draft-table { --ink: var(--jp-content-font-color0, #1d1d1b); --soft: var(--jp-content-font-color2, #5c5c5a); --faint: var(--jp-border-color2, #d8d6d0);
  --edge: var(--jp-border-color1, #b5b2aa); --paper: var(--jp-layout-color0, #fff); --desk: #f3efe6; --pencil: #274690; --work: #8a3b12; --good: #23653a; --bad: #a3151f;
  --tap: 36px; container-type: inline-size; box-sizing: border-box; width: 100%; font: 14px/1.45 var(--jp-ui-font-family, system-ui, sans-serif); color: var(--ink);
  background: var(--desk); border: 1px solid var(--edge); border-radius: 4px; padding: 10px 12px 12px; }
[data-jp-theme-light="false"] .draft-table { --desk: #26241f; --pencil: #9db8ff; --work: #ffa36b; --good: #7fd69a; --bad: #ff8f8f; }
@media (any-pointer: coarse) { .draft-table { --tap: 44px; } }
.draft-table *, .draft-table *::before { box-sizing: border-box; }
.draft-table [hidden] { display: none !important; }
.draft-table h3, .draft-table h4, .draft-table h5, .draft-table p { margin: 0; }
.draft-table h3 { font-size: 17px; font-weight: 650; } .draft-table h4 { font-size: 14px; font-weight: 650; } .draft-table h5 { font-size: 12.5px; font-weight: 600; margin-top: 8px; color: var(--soft); }
.draft-table :focus-visible { outline: 3px solid var(--pencil); outline-offset: 1px; }
.dt-sr { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.dt-head { display: flex; flex-wrap: wrap; gap: 2px 14px; align-items: baseline; margin-bottom: 8px; } .dt-head p { flex-basis: 100%; } .dt-who { color: var(--soft); margin-left: auto; }
.dt-note { margin-bottom: 8px !important; padding: 6px 10px; background: var(--paper); border: 1px solid var(--edge); border-left: 6px solid var(--work); }
.draft-table button, .draft-table select { font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--edge); border-radius: 4px; min-height: var(--tap); padding: 4px 10px; cursor: pointer; }
.draft-table button:disabled { color: var(--soft); opacity: .6; cursor: default; }
.draft-table button[aria-pressed="true"] { border-color: var(--work); box-shadow: inset 0 -3px 0 var(--work); font-weight: 600; }
.draft-table .dt-set, .draft-table .dt-compare { background: var(--pencil); color: var(--paper); border-color: var(--pencil); font-weight: 600; padding: 4px 18px; }
.dt-body { display: grid; gap: 10px 12px; grid-template-columns: minmax(0, 1fr); }
.dt-work { display: grid; gap: 8px; min-width: 0; align-content: start; } .dt-side { display: grid; gap: 10px; min-width: 0; align-content: start; }
.dt-paper { position: relative; height: 460px; overflow: hidden; background: var(--paper); border: 1px solid var(--edge); cursor: default; }
.dt-paper.dt-pulling { cursor: grabbing; }
.dt-svg { position: absolute; inset: 0; width: 100%; height: 100%; user-select: none; -webkit-user-select: none; }
.dt-square { fill: none; stroke: var(--faint); stroke-width: 1; opacity: .6; }
.dt-line, .dt-mark { fill: none; stroke: var(--pencil); stroke-width: 1.8; } .dt-given .dt-line, .dt-given .dt-mark { stroke: var(--soft); stroke-width: 1.2; }
.dt-mark { stroke-width: 2; } .dt-line.dt-chosen, .dt-mark.dt-chosen { stroke: var(--work); stroke-width: 3.2; }
.dt-hit { fill: none; stroke: transparent; stroke-width: 20; touch-action: none; pointer-events: stroke; } .dt-hitpoint { pointer-events: all; stroke: none; fill: transparent; }
.dt-wantspoint .dt-hitpoint, .dt-wantsline path.dt-hit { cursor: pointer; }
.dt-wantspoint .dt-mark { stroke-width: 2.8; } .dt-wantsline .dt-line { stroke-width: 2.8; }
.dt-svg text { font-family: inherit; font-size: 12px; fill: var(--ink); paint-order: stroke; stroke: var(--paper); stroke-width: 3.5px; stroke-linejoin: round; pointer-events: none; }
.dt-svg .dt-name { fill: var(--pencil); } .dt-svg .dt-givenname { fill: var(--soft); font-size: 11px; } .dt-svg .dt-chosen { fill: var(--work); font-weight: 650; }
.dt-ring { fill: none; stroke: var(--work); stroke-width: 1.6; } .dt-held { fill: none; stroke: var(--work); stroke-width: 3; opacity: .55; }
.dt-pencilline { fill: none; stroke: var(--work); stroke-width: 2.4; } .dt-pencilmark { fill: none; stroke: var(--work); stroke-width: 2.6; } .dt-guide { stroke: var(--work); stroke-width: 1.2; stroke-dasharray: 5 4; }
.dt-dimension, .dt-arrow { fill: none; stroke: var(--work); stroke-width: 1.4; } .dt-svg .dt-measure { fill: var(--work); font-weight: 600; font-size: 13px; } .dt-svg .dt-pencilname { fill: var(--work); font-weight: 650; }
.dt-right { fill: var(--good); } .dt-off { fill: var(--bad); } .dt-svg .dt-sign { fill: var(--paper); stroke: none; font-weight: 700; } .dt-offby { stroke: var(--bad); stroke-width: 1.4; stroke-dasharray: 2 4; } .dt-wanted { fill: none; stroke: var(--bad); stroke-width: 1.6; stroke-dasharray: 3 2; }
.dt-scale { position: absolute; left: 6px; bottom: 4px; font-size: 11px; color: var(--soft); background: var(--paper); padding: 0 4px; pointer-events: none; }
.dt-zoom { position: absolute; right: 6px; bottom: 6px; display: flex; gap: 4px; } .draft-table .dt-zoom button { min-width: var(--tap); padding: 2px 6px; opacity: .9; }
.dt-card { position: absolute; left: 0; top: 0; z-index: 3; padding: 2px 8px; font-size: 12.5px; background: var(--paper); border: 1px solid var(--ink); pointer-events: none; white-space: nowrap; }
.dt-hands, .dt-verbs { display: flex; gap: 4px; overflow-x: auto; scrollbar-width: thin; padding: 3px; } .dt-verbs { padding-top: 0; }
.dt-hands button, .dt-verbs button { flex: none; } .draft-table .dt-hand { border-radius: 4px 4px 0 0; background: transparent; border-color: transparent; color: var(--soft); } .draft-table .dt-hand[aria-pressed="true"] { color: var(--ink); background: transparent; border-color: transparent; box-shadow: inset 0 -3px 0 var(--work); }
.dt-sentence { background: var(--paper); border: 1px solid var(--edge); border-left: 6px solid var(--work); padding: 8px 12px; }
.dt-mending { display: flex; flex-wrap: wrap; gap: 6px 10px; align-items: center; margin-bottom: 6px; font-weight: 600; color: var(--work); }
.dt-line[role=group] { display: flex; flex-wrap: wrap; align-items: center; gap: 4px 6px; font-size: 16.5px; stroke: none; }
.dt-group, .dt-optional { display: contents; } .dt-words { white-space: pre-wrap; }
.draft-table .dt-field { font: inherit; color: var(--pencil); background: transparent; border: 0; border-bottom: 2px solid var(--edge); border-radius: 0; min-height: var(--tap); padding: 2px 4px; max-width: 100%; font-weight: 600; }
.draft-table .dt-field::placeholder { color: var(--soft); font-weight: 400; font-style: italic; opacity: 1; } .dt-optional .dt-field { border-bottom-style: dashed; }
.draft-table .dt-field:focus { border-bottom-color: var(--work); background: color-mix(in srgb, var(--work) 9%, transparent); outline: 3px solid var(--pencil); outline-offset: 1px; } .draft-table .dt-field[aria-invalid] { border-bottom: 3px solid var(--bad); }
.draft-table .dt-verbfield { color: var(--ink); border: 1px solid var(--edge); border-radius: 4px; font-weight: 600; padding: 2px 8px; }
.draft-table .dt-said { min-height: 1.5em; margin-top: 4px; font-weight: 600; color: var(--pencil); } .draft-table .dt-said.dt-wrong { color: var(--bad); }
.dt-below { display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: flex-start; min-height: calc(var(--tap) + 8px); }
.dt-offers { display: flex; flex-wrap: wrap; gap: 5px; flex: 1 1 260px; max-height: calc(3 * var(--tap) + 14px); overflow-y: auto; padding: 2px; }
.dt-offer { min-height: var(--tap); padding: 3px 10px; border: 1px solid var(--edge); border-radius: 18px; background: var(--desk); cursor: pointer; display: flex; flex-direction: column; justify-content: center; line-height: 1.15; }
.dt-offer small { color: var(--soft); font-size: 11.5px; } .dt-offer[aria-selected="true"] { border-color: var(--pencil); box-shadow: inset 0 0 0 2px var(--pencil); }
.dt-pad { display: grid; grid-template-columns: repeat(5, minmax(var(--tap), 46px)); gap: 3px; } .draft-table .dt-pad button { padding: 2px; min-width: 0; }
.dt-panel { background: var(--paper); border: 1px solid var(--edge); padding: 8px 10px; min-width: 0; } .dt-panelhead { display: flex; flex-wrap: wrap; gap: 4px 10px; align-items: center; justify-content: space-between; margin-bottom: 4px; } .dt-tools { display: flex; flex-wrap: wrap; gap: 4px; }
.dt-row { display: grid; grid-template-columns: repeat(4, minmax(0, 1fr)); gap: 3px; padding: 3px 0; border-top: 1px solid var(--faint); } .dt-rowname { grid-column: 1 / -1; font-size: 13px; }
.draft-table .dt-share { display: flex; flex-direction: column; align-items: center; justify-content: center; padding: 1px 2px; line-height: 1.15; font-size: 13px; min-height: max(var(--tap), 38px); } .dt-share small { font-size: 10.5px; color: var(--soft); } .dt-share b { font-weight: 600; white-space: nowrap; }
.dt-numbers details summary { min-height: var(--tap); padding-top: 8px; cursor: pointer; color: var(--soft); }
.dt-asked { list-style: none; margin: 0 0 8px; padding: 0; max-height: 320px; overflow-y: auto; } .dt-asked li { display: grid; grid-template-columns: 1.3em 1fr; padding: 1px 0; } .dt-asked small { grid-column: 2; color: var(--soft); } .dt-asked .dt-off { fill: none; } .dt-asked .dt-off small { color: var(--bad); }
.dt-right .dt-tick, .dt-carried .dt-tick { color: var(--good); font-weight: 700; } .dt-off .dt-tick { color: var(--bad); font-weight: 700; }
.draft-table .dt-compare { width: 100%; } .draft-table .dt-mark { font-weight: 600; margin-top: 6px; } .draft-table .dt-next { margin-top: 4px; }
.dt-steps { margin: 0; padding-left: 2.1em; } .dt-steps li { padding: 1px 0; } .dt-none { list-style: none; margin-left: -2em; color: var(--soft); }
.draft-table .dt-stepbutton { display: block; width: 100%; text-align: left; border-color: transparent; background: transparent; padding: 4px 6px; } .draft-table .dt-stepbutton:hover { border-color: var(--edge); } .dt-chosenstep .dt-stepbutton { border-color: var(--work) !important; }
.draft-table .dt-fault { color: var(--bad); margin-left: 8px; } .dt-ask { padding: 8px 10px; border: 2px solid var(--work); margin-bottom: 6px; display: flex; flex-wrap: wrap; gap: 8px; align-items: center; } .dt-ask p { flex-basis: 100%; }
@container (min-width: 780px) { .dt-body { grid-template-columns: minmax(0, 1fr) 262px; align-items: start; } .dt-numbers { max-height: 430px; overflow-y: auto; } }
@container (max-width: 520px) { .dt-paper { height: 340px; } .dt-sentence { position: sticky; bottom: 0; z-index: 4; max-height: 60vh; overflow-y: auto; } .dt-offers { flex-wrap: nowrap; overflow-x: auto; max-height: none; } .dt-offer { flex: none; } .dt-who { margin-left: 0; } }
.jp-OutputArea:has(.draft-table) .jp-OutputArea-child:has(.draft-table-still) { display: none; }
@media (prefers-reduced-motion: reduce) { .draft-table * { transition: none; } }
@media (forced-colors: active) { .dt-line, .dt-mark, .dt-pencilline, .dt-pencilmark, .dt-dimension, .dt-arrow, .dt-guide, .dt-ring { stroke: CanvasText; } .dt-svg text { fill: CanvasText; stroke: Canvas; } .dt-given .dt-line { stroke: GrayText; } .dt-right, .dt-off { fill: CanvasText; } .dt-svg .dt-sign { fill: Canvas; } .draft-table button[aria-pressed="true"] { outline: 2px solid Highlight; } .dt-pencilline, .dt-pencilmark, .dt-dimension { stroke: Highlight; } }
`;
