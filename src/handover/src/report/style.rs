//! How the report looks: on a phone, on a wide screen, in the dark, on paper and in grey.

/// The report's style sheet. Nothing in it carries a meaning that the text does not.
pub(super) const STYLE: &str = "\
:root{color-scheme:light dark;--ink:#1b1b1b;--paper:#fff;--soft:#595959;--line:#b5b5b5;--fill:#9c9c9c;--tint:#f1f1ee}\
@media (prefers-color-scheme:dark){:root{--ink:#ececec;--paper:#16181a;--soft:#b4b4b4;--line:#5c5f63;--fill:#7b7f84;\
--tint:#23262a}}\
*{box-sizing:border-box}\
body{font:16px/1.5 system-ui,sans-serif;max-width:54rem;margin:1.5rem auto;padding:0 1rem;color:var(--ink);\
background:var(--paper);overflow-wrap:break-word}\
h1,h2,h3{line-height:1.25}h1{font-size:1.8rem}h2{font-size:1.4rem;margin-top:2.2rem;border-top:2px solid var(--ink);\
padding-top:.6rem}h3{font-size:1.1rem;margin-bottom:.3rem}p.caption{font-weight:600;margin-bottom:.2rem}\
a{color:inherit}nav li{padding:.15rem 0}\
table{border-collapse:collapse;margin:.5rem 0 1.2rem;width:100%;font-size:.92rem}\
caption{text-align:left;font-weight:600;padding:.2rem 0}\
th,td{border-bottom:1px solid var(--line);padding:.3rem .7rem .3rem 0;text-align:left;vertical-align:top}\
thead th,thead td{border-bottom:2px solid var(--ink)}tbody th{font-weight:500}\
.n{text-align:right;font-variant-numeric:tabular-nums}.n+td:not(.n),.n+th:not(.n){padding-left:.6rem}.k,[data-figure]{white-space:nowrap}\
.wide{overflow-x:auto}.wide:focus-visible{outline:3px solid var(--ink);outline-offset:2px}\
code{overflow-wrap:anywhere}\
.note{border-left:.35rem solid var(--fill);padding:.2rem .8rem;background:var(--tint)}\
.own{border:1px solid var(--line);padding:.2rem 1rem;white-space:pre-line}\
.small{color:var(--soft);font-size:.92rem}\
.chart{list-style:none;padding:0;margin:.5rem 0 1.2rem}\
.chart li{display:grid;grid-template-columns:13rem 1fr 11rem;gap:0 .8rem;align-items:center;padding:.22rem 0;\
border-bottom:1px solid var(--line);break-inside:avoid}\
.chart svg{width:100%;height:1.3rem;display:block}\
.chart .v{font-variant-numeric:tabular-nums}\
.chart .scale{display:flex;justify-content:space-between;font-size:.85rem;color:var(--soft)}\
.g{stroke:var(--line);stroke-width:1}.r{stroke:var(--ink);stroke-width:2}.e{stroke:var(--ink);stroke-width:6}\
.b{fill:var(--fill)}\
svg *{vector-effect:non-scaling-stroke}\
@media (max-width:40rem){.chart li{grid-template-columns:1fr}.chart .empty{display:none}}\
@page{size:A4;margin:18mm 16mm 20mm;@bottom-right{content:'Page ' counter(page) ' of ' counter(pages);\
font:9pt system-ui,sans-serif;color:#000}}\
@media print{:root{color-scheme:light;--ink:#000;--paper:#fff;--soft:#333;--line:#888;--fill:#aaa;--tint:#f2f2f2}\
body{font-size:10pt;max-width:none;margin:0;padding:0}table{font-size:8.5pt}.wide{overflow:visible}\
th,td{padding-right:.4rem;overflow-wrap:break-word;hyphens:auto}tr,.note,.chart li{break-inside:avoid}\
h2,h3,caption,p.caption,.chart li:first-child,p:has(+.wide),p:has(+ul){break-after:avoid}.keep,.chart,p:has(+.wide){break-inside:avoid}\
tbody tr:first-child,tbody tr:nth-child(2),tbody tr:last-child{break-before:avoid}\
p,li{orphans:3;widows:3}thead{display:table-header-group}#board,#findings{break-before:page}\
#recommendations ul{break-inside:avoid}#board{font-size:9.6pt;line-height:1.4}#board h2{font-size:1.2rem;margin:0 0 .3rem}\
#board h3{font-size:1rem;margin:.5rem 0 .1rem}#board p,#board ul{margin:.15rem 0}\
.chart li{grid-template-columns:10rem 1fr 10rem}nav a{text-decoration:none}}";
