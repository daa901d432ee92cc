import { z } from 'zod';
import { crop } from '../../core/crop/schema.ts';
import { fieldRequest } from '../../core/outlook/schema.ts';
import { dailyWeather } from '../../core/weather/schema.ts';
import { species } from '../../core/weeds/schema.ts';
import { implement } from '../../core/windows/schema.ts';
import { geometry } from '../../service/geometry/schema.ts';
import * as records from '../../service/records/schema.ts';
import { sourcedRequest } from '../../service/schema.ts';
import { creditedOutlook, creditedTomorrow, keyShown, problem, sentOutlook } from '../answers/schema.ts';

/** Schemas that the OpenAPI document names once and refers to. */
const named = {
  Problem: problem,
  Species: species,
  Crop: crop,
  Implement: implement,
  DailyWeather: dailyWeather,
  FieldRequest: fieldRequest,
  SourcedRequest: sourcedRequest,
  Outlook: sentOutlook,
  StoredOutlook: creditedOutlook,
  Tomorrow: creditedTomorrow,
  Geometry: geometry,
  Farm: records.farm,
  Field: records.field,
  Machine: records.machine,
  Crew: records.crew,
  Station: records.station,
  Planting: records.planting,
  Pass: records.passMade,
  Count: records.count,
  Key: keyShown,
} as const;
for (const [id, schema] of Object.entries(named)) z.globalRegistry.add(schema, { id });
