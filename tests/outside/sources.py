"""The sources that several checks rest on."""

from tests.outside.check import Source

UP = Source(
    "University Physics vol. 2 (OpenStax)",
    "https://github.com/openstax/osbooks-university-physics-bundle",
)
CP = Source(
    "College Physics (OpenStax)", "https://github.com/openstax/osbooks-college-physics-bundle"
)
LESSONS = Source(
    "Lessons in Electric Circuits vol. I",
    "https://github.com/FauxFaux/lessons-in-electric-circuits",
)
INFINISPARK = Source(
    "Infinispark, lamp currents",
    "https://infinispark.com.au/how-much-current-does-an-incandescent-lamp-draw/",
)
MVW_FUSES = Source(
    "MVW, voltage drop over fuses", "https://www.mvwautotechniek.nl/en/voltage-drop-over-fuses"
)
MACS = Source(
    "MACS Service Reports, June 2017",
    "https://www.nxtbook.com/nxtbooks/macs/servicereports_2017/index.php?startid=JUN6",
)
RELAY_F4 = Source(
    "relay data sheet V23134-F4, quoting ISO 8820-3",
    "http://www.datasheetandpdf.com/EN/TEC/1/V23134-F4.htm",
)
G8JN = Source("relay data sheet G8JN", "https://xonelec.com/mpn/omron/g8jn1c6tfdc12")
CB1F = Source("relay data sheet CB1F-D-12V", "http://elcodis.com/parts/853837/CB1F-D-12V_p11.html")
CB1R24 = Source("relay listing CB1R24", "https://novapart.co/products/CB1R24/")
V23134A = Source("relay listing V23134-A1052", "https://novapart.co/products/V23134A1052X299/")
OEN_40 = Source("relay data sheet OEN 40", "https://dtsheet.com/doc/682964/oenindia-40-12-2ce")
OEN_79 = Source("relay data sheet OEN 79", "https://dtsheet.com/doc/683074/oenindia-791-1c-121")
CR2 = Source(
    "relay data sheet CR2-12V",
    "https://azmanual.top/manuals/175663/panasonic-cr-relays.html?page=2",
)
INRUSH = Source("inrush of lamps", "https://eapc-lheureux-44.fr/Sun-23-Nov-2003-3653.html")
GRE_2012 = Source(
    "UN document ECE/TRANS/WP.29/GRE/2012/34",
    "https://docest.com/doc/176214/economic-commission-for-europe-s37",
)
BULB_TYPES = Source(
    "list of automotive light bulb types",
    "http://www.wikimili.com/en/List_of_automotive_light_bulb_types",
)
H4_24 = Source(
    "bulb H4 of 24 V", "https://electro-partes-del-valle.odoo.com/shop/bombillo-h4-24v-75-70w"
)
CAN_LEVELS = Source(
    "notes on CAN bus levels",
    "https://studylib.net/doc/18449396/emi-esd-protection-solutions-for-the-can-bus",
)
CAN_ENDS = Source(
    "CAN transceivers, Zephyr documentation",
    "https://docs.zephyrproject.org/3.7.0/hardware/peripherals/can/transceiver.html",
)
LIN = Source("TI SLLA383A on LIN", "https://ti.com/document-viewer/lit/html/SLLA383A/")
LIN_LEVELS = Source(
    "LIN levels, Microchip",
    "https://onlinedocs.microchip.com/pr/GUID-FA73463A-EB90-493D-A558-196E2EA36553-en-US-1/",
)
NTC = Source(
    "table of an NTC thermistor",
    "https://fm-workbench.kohbwoo.workers.dev/tools/ntc-thermistor-calculator",
)
BCI = Source(
    "state-of-charge table credited to BCI",
    "https://studylib.net/doc/18054160/state-of-charge---soc-measurement",
)
IEC_60228 = Source(
    "IEC 60228 maxima", "https://mycableengineering.com/knowledge-base/iec-60228-dc-resistance"
)
IEC_60028 = Source(
    "IEC 60028, summary",
    "https://tnlab.org/iec-60028-the-international-standard-of-resistance-for-copper-1925/",
)
WIRE_1728 = Source("wire gauge table of 1728.org", "https://wp.1728.org/?p=4314")
AION = Source("wire gauge calculator", "https://aionlinecalculator.com/wire-gauge-calculator.html")
THIN_WALL = Source(
    "thin-wall automotive cable, range sheet",
    "https://cdn.shopify.com/s/files/1/0663/5103/8714/files/Automotive_Cables.pdf",
)
ABYC_AMPS = Source(
    "ABYC E-11 currents, quoted", "https://explorist.life/max-amps-a-wire-can-handle"
)
ABYC_DROP = Source(
    "ABYC E-11 drop formula, quoted",
    "https://www.cruisersforum.com/forums/f55/different-wire-sizes-in-bilge-pump-circuit-75294-3.html",
)
BUNDLES = Source(
    "table 4C1, quoted",
    "https://engx.theiet.org/f/wiring-and-regulations/29686/table-4c1/134157",
)
HOLLAND = Source(
    "marine catalogue, wire tables",
    "https://hollandmarine.com/hmp-flipbook-2021/flipbook/inc/html/52.html",
)
POWER_HANDBOOK = Source("Industrial Power Engineering and Applications Handbook, p. 970")
TRANSTUTORS = Source(
    "problem of a permanent-magnet motor",
    "https://www.transtutors.com/questions/1-consider-a-permanent-magnet-dc-motor-with-the-following-constants-pay-attention-to-13716611.htm",
)
SOCKETS_13 = Source("ISO 11446, Wikipedia", "https://en.wikipedia.org/wiki/ISO_11446")
SOCKETS_15 = Source(
    "ISO 12098, Tralert", "https://www.tralert.com/en/lighting-terms/15-pin-iso-12098/"
)
COLOURS = Source(
    "list after GOST 28763-90 = IEC 757:1983",
    "https://profsector.com/reference-data/show/25/standartnyie-bukvennyie-kodyi-oboznacheniya-tsvetov",
)
DIN_K = Source("terminal numbers, kfz-tech.de", "http://www.kfz-tech.de")
DIN_M = Source("terminal designations, MVW", "https://www.mvwautomotive.com/terminal-designations/")
DIN_I = Source(
    "common terminal designations, Ilexa",
    "https://ilexa.co.uk/technical-information/standard-tables-and-charts/374-common-terminal-designations.html",
)
LABSCOPES = Source("ripple test of a tool maker", "http://labscopes.com/index_files/Page441.htm")
AUTOEDU = Source(
    "AC ripple voltage test, autoedu.info",
    "https://autoedu.info/en/auto-electric/alternator/ac-ripple-voltage-test/",
)
MICRO_RELAY = Source("micro ISO relay listing", "https://sa.tilga.com/prod/11874713/")
SEQUENCING = Source("Pattipati and Alexandridis, IEEE Trans. SMC 20(4), 1990, remembered")
POLYBOX = Source("De Kleer and Williams, Artificial Intelligence 32, 1987")
HOUSE = Source(
    "Poole and Mackworth, Artificial Intelligence, 2nd ed., 5.5.3",
    "https://cs.ubc.ca/~poole/aibook/2e/html2e/ArtInt2e.Ch5.S5.SS3.html",
)
