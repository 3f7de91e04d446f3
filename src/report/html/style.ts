/** Paper, ink and one grey scale, light and dark; two sizes of text. */
const variables = `
:root{color-scheme:light dark;--paper:#fff;--ink:#1a1a1a;--soft:#565656;--rule:#7d7d7d;--hair:#dedede;--band:#c4c4c4;--faint:#ececec;--at:1}
@media (prefers-color-scheme:dark){:root{--paper:#161616;--ink:#ececec;--soft:#b0b0b0;--rule:#8c8c8c;--hair:#363636;--band:#5c5c5c;--faint:#2b2b2b}}`;

const text = `
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:1232px;padding:20px 24px 32px;font:13px/1.4 system-ui,-apple-system,'Segoe UI',Roboto,'Helvetica Neue',Arial,'DejaVu Sans',sans-serif;font-variant-numeric:tabular-nums lining-nums}
h1,.count{font-size:20px;line-height:1.25;font-weight:600;margin:0}
h2,h3{font-size:13px;font-weight:600;margin:0}
section>h2{border-top:1px solid var(--ink);padding-top:6px;margin:22px 0 8px}
h3{margin:0 0 2px}
p{margin:0}
ul,ol{list-style:none;margin:0;padding:0}
svg{display:block;overflow:visible}
svg text{font-size:13px}
b{font-weight:600}
bdi{overflow-wrap:anywhere}
.soft,.note,.reason{color:var(--soft)}
.note{max-width:92ch}
.hidden{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.print-only,.narrow-only{display:none}
.count{text-wrap:balance}.count .one{display:inline-block;max-width:100%}
:focus-visible{outline:2px solid var(--ink);outline-offset:2px}`;

const head = `
.head{display:grid;grid-template-columns:minmax(0,1fr) minmax(280px,420px);gap:12px 40px;align-items:start}
.head h1{overflow-wrap:anywhere}
.count{margin-top:10px}
.trust{border:1px solid var(--rule);border-radius:6px;padding:8px 12px}
.trust h2{border:0;margin:0;padding:0;font-size:20px;display:flex;align-items:center;gap:8px}
.trust ul{margin:4px 0}
.answer{border-collapse:collapse;width:100%;margin-top:14px}
.answer th,.answer td{text-align:left;vertical-align:middle;padding:0 14px 0 0;font-weight:400}
.answer tbody td,.answer tbody th{padding-top:4px;padding-bottom:4px}
.answer thead th{vertical-align:bottom;padding-bottom:2px;font-weight:600;max-width:190px}
.answer tbody tr{border-top:1px solid var(--hair)}
.answer tbody .why{border-top:0}.answer tbody .why td{white-space:normal;padding-top:0;padding-right:24px;vertical-align:top}
.answer thead+tbody tr:first-child,.answer tfoot tr{border-top:1px solid var(--ink)}
.answer .plot,.answer tbody .plot{position:relative;padding:0;width:290px;min-width:290px}
.answer tbody .plot::before,.answer tbody .plot::after{content:'';position:absolute;top:0;bottom:0;left:var(--zero);border-left:1px solid var(--rule)}
.answer tbody .plot::after{left:var(--margin);border-left:1px dashed var(--ink)}
.answer .plot svg{position:relative;z-index:1;width:100%;height:auto}
.answer .plot+*{padding-left:14px}
.answer tfoot td{vertical-align:top;padding-top:3px}
.answer .reason,.against{display:block}
.against{padding-left:21px;font-weight:600}
.answer .name{font-weight:600}
.answer tbody tr:not(.why) td:last-child{white-space:nowrap;padding-right:0}
.answer tbody th{width:22%}.answer tbody .level{width:21%}
.answer .number{white-space:nowrap}
.outcome{white-space:nowrap}
.outcome svg{display:inline-block;vertical-align:-2px;margin-right:7px}
.outcome .reason{padding-left:21px}
.shared{margin-top:12px;max-width:110ch}`;

const rack = `
.bench{display:grid;grid-template-columns:minmax(0,1fr) minmax(220px,400px);gap:20px 28px;align-items:start}
.rack{position:relative;height:calc(var(--rows)*212px)}
.vial{position:absolute;contain:layout style;padding:0 5px;height:208px;text-align:center}
.glass{display:block;position:relative;height:128px;max-width:62px;margin:6px auto 3px;border:1.5px solid var(--rule);border-radius:5px 5px 14px 14px;cursor:ew-resize;background:repeating-linear-gradient(135deg,var(--paper) 0 3px,var(--band) 3px 4px);touch-action:pan-y}
.glass::before{content:'';position:absolute;left:14%;right:14%;top:-7px;height:6px;border:1.5px solid var(--rule);border-bottom:0;border-radius:2px 2px 0 0}
.glass svg{position:absolute;inset:0;width:100%;height:100%;border-radius:3px 3px 12px 12px;overflow:hidden;shape-rendering:crispEdges}
.cursor{display:none}
.js .cursor{display:block;position:absolute;pointer-events:none;width:0;border-left:1px solid var(--ink);box-shadow:0 0 0 .5px var(--paper)}
.js .glass .cursor{top:-3px;bottom:-3px;left:calc(var(--at)*100%)}

.deep.rack{height:calc(var(--rows)*166px)}.deep .vial{height:163px}.deep .glass{height:84px}
.caption{display:flex;justify-content:center;align-items:center;gap:5px;white-space:nowrap}
.label{display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:3;color:var(--soft);overflow:hidden;line-height:1.2}
.now::before{content:'';display:inline-block;width:9px;height:9px;border-radius:2px;margin-right:4px;background:var(--seen,none)}
.now:empty::before{display:none}
.scrub{display:none}
.js .scrub{display:flex;gap:12px;align-items:center;margin:2px 0 6px}
.scrub input{flex:1;min-width:60px;height:24px;accent-color:var(--ink)}
.scrub output{min-width:6.5em}
.still{margin:6px 0 0;position:sticky;top:10px}
.still>div{position:relative}
.still img{display:block;width:100%;height:auto;border-radius:4px}
.still img[hidden]{display:none}
.still svg{position:absolute;inset:0;width:100%;height:100%}
.still svg text{font-size:inherit}
.still figcaption{margin-top:4px}`;

const panels = `
.key{display:flex;flex-wrap:wrap;gap:2px 20px;margin-bottom:8px;color:var(--soft)}
.key li{display:flex;gap:6px;align-items:center}
.panels{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(232px,100%),1fr));gap:14px 21px}
.note+.panels{margin-top:8px}
.panel{position:relative;contain:layout style}
.panel>svg{width:100%;height:auto}
.js .panel .cursor{top:21.5%;bottom:9.2%;left:calc(10% + var(--at)*85.714%);border-left-style:dashed;opacity:.7}
.events{display:inline-flex;flex-wrap:wrap;gap:0 18px}
.note.lead{display:inline;margin-right:8px}
.compared{display:grid;grid-template-columns:470fr 690fr;gap:16px 24px}
.compared>div{min-width:0}.compared svg{width:100%;height:auto}.wide{overflow-x:auto}
.columns{columns:3 300px;column-gap:32px}
.columns>div{break-inside:avoid;margin-bottom:12px}
.columns li{padding-left:12px;text-indent:-12px;overflow-wrap:anywhere}
.hash{color:var(--soft);overflow-wrap:anywhere}
dl{display:grid;grid-template-columns:auto 1fr;gap:0 12px;margin:0}
h3.cite{margin-top:8px}dd.blank{border-bottom:1px solid var(--rule);min-width:8em}
dt{color:var(--soft)}dd{margin:0;overflow-wrap:anywhere}
.sign{display:grid;grid-template-columns:2fr 1fr;gap:20px;margin-top:30px}
.sign span{border-top:1px solid var(--ink);padding-top:2px;color:var(--soft)}`;

const narrow = `
@media (max-width:900px){
.scroll{overflow-x:auto}
.head,.bench,.compared{grid-template-columns:minmax(0,1fr)}
.answer .plot,.answer tbody .plot{width:170px;min-width:170px}.answer tbody th{width:auto}.answer tbody tr:not(.why) td:last-child{white-space:normal;min-width:84px}
.answer th,.answer td{padding-right:9px}.answer tbody th,.answer thead th:nth-child(2){min-width:118px}.answer .plot svg text{font-size:17px}
.outcome .against{white-space:normal;max-width:96px}
.still{max-width:480px}}
@media (max-width:620px){body{padding:12px}.narrow-only{display:inline}
.answer,.answer tbody,.answer tfoot,.answer tfoot tr,.answer tfoot td{display:block}.answer thead{display:block;position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}
.answer tbody tr{display:grid;grid-auto-flow:dense;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:4px 14px;padding:9px 0}
.answer tbody td,.answer tbody th,.answer tbody .plot,.answer tbody .level,.answer tbody tr:not(.why) td:last-child{padding:0;min-width:0;width:auto}
.answer tbody .outcome,.answer tbody th,.answer tbody .plot,.answer tbody .level,.answer tbody .why td{grid-column:1/-1}.answer tbody .why{padding-top:0}.answer .outcome .against{max-width:none}
.answer tbody .plot{width:100%;max-width:420px}.answer tfoot .plot{width:100%;max-width:420px}.answer .plot svg text{font-size:13px}.answer .plot+*{padding-left:0}
.answer tbody td:not(.plot)[data-head]::before{content:attr(data-head);display:block;color:var(--soft)}
.caption{flex-wrap:wrap;gap:0 3px}.rack,.deep.rack{height:calc(var(--rows)*230px)}.vial,.deep .vial{height:226px;padding:0 2px}
.compared .wide svg{min-width:560px}}`;

const print = `
@page{size:A4;margin:7mm 10mm}
@media print{
:root{--paper:#fff;--ink:#000;--soft:#333;--rule:#666;--hair:#ccc;--band:#bbb;--faint:#e6e6e6}
body{max-width:none;padding:0;font-size:8px;line-height:1.3;print-color-adjust:exact;-webkit-print-color-adjust:exact}
h1,.count,.trust h2{font-size:14px}h2,h3{font-size:8px}
section>h2{margin:6px 0 3px;padding-top:2px}
.head{grid-template-columns:minmax(0,1fr) 250px;gap:8px 20px}.trust{padding:4px 8px}
.answer{margin-top:6px}.shared{margin-top:5px;max-width:none}.answer .plot,.answer tbody .plot{width:152px;min-width:152px}.answer tbody th{width:17%}.answer tbody .level{width:25%}.answer thead th:last-child{white-space:nowrap}
.js .scrub,.js .panel .cursor,.screen-only,.dense .told .screen-only{display:none}.print-only{display:inline}li.print-only{display:block}
.outcome svg,.caption svg,.trust svg{width:9px;height:9px;vertical-align:-1px}.outcome svg{margin-right:4px}.outcome .reason,.against{padding-left:13px}.note{max-width:none}
.count{margin-top:4px}.answer tbody td,.answer tbody th{padding-top:2px;padding-bottom:2px}.answer thead th{max-width:none}.answer .plot svg text{font-size:13px}
.crowded .reason,.crowded .against{display:inline;padding-left:3px}.answer.crowded tbody td,.answer.crowded tbody th{padding-top:.5px;padding-bottom:.5px}
.answer.crowded tbody .plot svg{margin:-4px 0}.crowded td:not(.outcome) .reason::before{content:', ';margin-left:-3px}.answer.crowded tbody th{width:auto}.answer.crowded .plot,.answer.crowded tbody .plot{width:116px;min-width:116px}.answer.crowded tbody .level{width:auto;white-space:nowrap}.answer.crowded th,.answer.crowded td:not(.plot){padding-right:7px}.answer.crowded .plot+*{padding-left:7px}.crowded .counted,.crowded .course{display:none}.answer.crowded .number{white-space:nowrap}
.ratios.print-only{display:table;table-layout:fixed;border-collapse:collapse;width:100%;align-self:start}.ratios caption{text-align:left;padding-bottom:3px}.ratios th,.ratios td{text-align:left;vertical-align:top;font-weight:400;padding:1px 4px 1px 0}
.ratios thead th{vertical-align:bottom;font-weight:600}.ratios tbody tr{border-top:1px solid var(--hair)}.ratios thead th:first-child{width:21%}.ratios tbody th{white-space:nowrap;overflow:hidden;text-overflow:ellipsis}.ratios td span{display:inline-block;white-space:nowrap}
.bench{grid-template-columns:minmax(0,1fr) 190px;gap:14px}.still{position:static}
.rack{height:calc(var(--rows)*88px)}.vial{height:87px;padding:0 3px}.deep.rack{height:calc(var(--rows)*56px)}.deep .vial{height:55px}.deep .glass{height:27px}.deep .label{-webkit-line-clamp:1}.dense .told li{display:inline;padding:0;text-indent:0}.caption{gap:3px}.now::before{display:none}.glass{height:46px;max-width:34px}
.panels{grid-template-columns:repeat(4,1fr);gap:6px 10px}.panels.many{grid-template-columns:repeat(5,1fr);gap:4px 8px}
.compared{grid-template-columns:470fr 690fr;gap:10px}.wide{overflow:visible}.compared .wide svg{min-width:0}
.columns{columns:3;column-gap:14px}.columns>div{margin-bottom:5px}.sign{margin-top:16px}
.key{gap:0 10px;margin-bottom:4px}.key svg{width:18px;height:10px}
section,.panel{break-inside:avoid}section.flows{break-inside:auto}section.tall{display:none}.long,.columns>div{break-inside:auto}h3{break-after:avoid}li{break-inside:avoid}
.who,dd bdi,.hashed,.ratios thead bdi{display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:3;overflow:hidden}.hashed,.ratios thead bdi{-webkit-line-clamp:2}
.count bdi{display:inline-block;max-width:22ch;overflow:hidden;white-space:nowrap;text-overflow:ellipsis;vertical-align:bottom}
.answer.crowded .who{display:block;max-width:112px;white-space:nowrap;text-overflow:ellipsis}.events li{max-width:230px;overflow:hidden;white-space:nowrap;text-overflow:ellipsis}
.outcome .against{white-space:nowrap;max-width:none}.answer tbody tr:not(.why) td:last-child{white-space:nowrap;min-width:62px}}`;

export const style = [variables, text, head, rack, panels, narrow, print].join('');
