// A reader of GeoPackages and a reader of styles, both written in JavaScript by others.
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const [what, folder] = process.argv.slice(2);
const require = createRequire(import.meta.url);

/** The reader fetches its own WebAssembly from disk, for which Node's fetch is no use. */
function loadReader() {
    const quietly = console.error;
    console.error = () => {}; // it complains of an optional part
    const reader = require('@ngageoint/geopackage');
    console.error = quietly;
    delete globalThis.fetch;
    reader.setSqljsWasmLocateFile(name => require.resolve(`rtree-sql.js/dist/${name}`));
    return reader;
}

const within = ([x, y], box) => x >= box[0] && x <= box[2] && y >= box[1] && y <= box[3];

async function shares() {
    const { GeoPackageAPI, BoundingBox } = loadReader();
    for (const tier of ['exact', 'grid', 'cells']) {
        const file = await GeoPackageAPI.open(`${folder}/${tier}.gpkg`);
        assert.deepEqual(file.validate(), [], `${tier} is valid`);
        const layer = tier === 'cells' ? 'nest_counts' : 'nests';
        assert.deepEqual(file.getFeatureTables(), [layer]);
        const rows = file.getFeatureDao(layer);
        assert.equal(rows.srs.srs_id, 4326);
        assert.ok(rows.isIndexed(), 'the R-tree is known');
        const features = [...file.iterateGeoJSONFeatures(layer)];
        assert.equal(features.length, rows.count());
        for (const feature of features) {
            assert.match(feature.properties.taxon, /^(Vespula|Dolichovespula|Vespa|Polistes) \w+$|^Vespidae$/);
            assert.equal(feature.properties.season, 2026);
            assert.ok(!/Quill|555 0100|Secret Lane|barn/.test(JSON.stringify(feature)), 'no client');
        }
        const told = file.dataColumnsDao.getDataColumns(layer, 'taxon');
        assert.equal(told.title, 'Taxon');
        if (tier !== 'cells') {
            assert.equal(features.length, 60);
            assert.ok(features.every(f => (tier === 'exact' ? /^2026-07-\d\d$/ : /^2026-07$/).test(f.properties.date)));
            const box = [-77.06, 41.02, -77.03, 41.06];
            const found = [...file.iterateGeoJSONFeatures(layer, new BoundingBox(box[0], box[2], box[1], box[3]))];
            const wanted = features.filter(f => within(f.geometry.coordinates, box));
            assert.equal(found.length, wanted.length, 'the window');
            assert.ok(tier === 'grid' || (found.length > 0 && found.length < 60));
        } else {
            assert.ok(features.length > 0);
            assert.ok(features.every(f => f.properties.nests >= 3 && f.geometry.type === 'Polygon'));
        }
        file.close();
        console.log(`${tier}: ${features.length} rows of ${layer} read`);
    }
}

/** A line a rule, in words that the other reader's answer is put into as well. */
async function styles() {
    const { SldStyleParser } = require('geostyler-sld-parser');
    for (const layer of ['nests', 'nest_counts']) {
        const read = await new SldStyleParser({ sldVersion: '1.1.0' }).readStyle(
            readFileSync(`${folder}/${layer}.sld`, 'utf8'));
        assert.ok(!read.errors?.length, String(read.errors));
        assert.ok(!read.unsupportedProperties, JSON.stringify(read.unsupportedProperties));
        const lines = read.output.rules.map(rule => {
            const one = rule.symbolizers[0];
            assert.equal(rule.symbolizers.length, 1);
            return one.kind === 'Mark'
                ? [rule.name, one.wellKnownName.toLowerCase(), one.color, one.strokeColor, 2 * one.radius, one.strokeWidth].join('|')
                : [rule.name, one.kind.toLowerCase(), one.color, one.outlineColor, one.outlineWidth].join('|');
        });
        writeFileSync(`${folder}/${layer}.javascript`, lines.join('\n') + '\n');
    }
}

await { shares, styles }[what]();
